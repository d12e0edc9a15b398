"""Coupon files and procedure cards: what is measured, written down once."""

from beadcheck.coupon_file.card import (
    PassAsked,
    ProcedureCard,
    read_procedure,
    read_procedure_alone,
)
from beadcheck.coupon_file.fill_in import Filled, filled_in
from beadcheck.coupon_file.orders import CouponOrder, PassOrder, coupon_order
from beadcheck.coupon_file.parts import (
    CouponFile,
    JointPart,
    PassPart,
    PhotoPart,
)
from beadcheck.coupon_file.read import read_coupon_alone, read_coupon_file
from beadcheck.coupon_file.said import NumberSaid, PassSettings
from beadcheck.coupon_file.write import coupon_toml, write_coupon_file

__all__ = [
    "CouponFile",
    "CouponOrder",
    "Filled",
    "JointPart",
    "NumberSaid",
    "PassAsked",
    "PassOrder",
    "PassPart",
    "PassSettings",
    "PhotoPart",
    "ProcedureCard",
    "coupon_order",
    "coupon_toml",
    "filled_in",
    "read_coupon_alone",
    "read_coupon_file",
    "read_procedure",
    "read_procedure_alone",
    "write_coupon_file",
]
