"""The sheet of one joint, as a PDF to print, read beside the coupon, and sign."""

from beadcheck.sheet.facts import SheetFacts, SheetPhoto
from beadcheck.sheet.make import sheet_pdf, sheet_photo

__all__ = ["SheetFacts", "SheetPhoto", "sheet_pdf", "sheet_photo"]
