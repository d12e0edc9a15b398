"""What happens when a device is to remember something, or to forget it."""

from dataclasses import replace

import gradio as gr

from beadcheck_page.device_controls import DeviceParts, shown_device, stored_device
from beadcheck_page.entries import Entries
from beadcheck_page.form_so_far import entered_unit
from beadcheck_page.guard import visit_token
from beadcheck_page.handlers import Handlers
from beadcheck_page.keep_handlers import nobody_named
from beadcheck_page.parts import Updates
from beadcheck_page.plainly import plainly
from beadcheck_page.remembered import Remembered, remembered


class DeviceHandlers:
    """The handlers of one page for what its device remembers."""

    def __init__(self, handlers: Handlers, device: DeviceParts) -> None:
        self.visits, self.parts, self.limits = handlers.visits, handlers.parts, handlers.limits
        self.handlers, self.device = handlers, device

    @plainly
    def arrive(self, request: gr.Request, sent: object) -> Updates:
        """Begin a visit as the device remembers it, and show it as it stands."""
        told = remembered(sent, self.limits)
        token = visit_token(request.headers.get("cookie"))
        visit = self.visits.look(token)
        if token is not None and visit is not None:
            self.visits.belongs_to(token, told.person)
            if visit.untouched:
                self.visits.remember(token, told.begun())
        shown = {**self.handlers.arrive(request), **shown_device(self.device, told, self.limits)}
        return {**shown, self.device.arrived: "arrived"}

    @plainly
    def clear(self, request: gr.Request, sent: object) -> Updates:
        """Forget the visit, and begin another on the same device."""
        return {**self.handlers.clear(request), **self.arrive(request, sent)}

    @plainly
    def unit_chosen(self, sent: object, unit: object) -> Updates:
        """Remember the unit."""
        chosen = entered_unit(Entries(unit=unit))
        return self._keep(replace(remembered(sent, self.limits), unit=chosen))

    @plainly
    def limits_chosen(self, sent: object, family: object, name: object) -> Updates:
        """Remember the limit set."""
        told = remembered(sent, self.limits)
        return self._keep(told.with_limits(family, name, self.limits))

    @plainly
    def forget(self, request: gr.Request) -> Updates:
        """Forget all that the device remembers; what stands in the form stays."""
        token = visit_token(request.headers.get("cookie"))
        if token is not None and self.visits.known(token):
            self.visits.belongs_to(token, None)
        return {**self._keep(Remembered()), **nobody_named(self.parts.keep, None)}

    def _keep(self, told: Remembered) -> Updates:
        return stored_device(self.device, told, self.limits)
