"""Uploads go to disk piece by piece; who may not take files in, or sends too much, is stopped."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.core.exceptions import PermissionDenied, RequestDataTooBig
from django.core.files.uploadhandler import SkipFile, TemporaryFileUploadHandler

from balewright.desk.access import Deed, deeds_of

TOO_LARGE = "balewright.too_large"


class LimitedUploadHandler(TemporaryFileUploadHandler):
    """Runs before any page does, so it asks who is sending by itself."""

    def handle_raw_input(self, *args: Any, **kwargs: Any) -> None:
        """Before the first byte: is it all in all too much?"""
        length = (self.request.META if self.request else {}).get("CONTENT_LENGTH") or 0
        if int(length) > settings.UPLOAD_FILE_BYTES * settings.UPLOAD_FILES:
            raise RequestDataTooBig("more than all files together may have")
        super().handle_raw_input(*args, **kwargs)

    def new_file(self, *args: Any, **kwargs: Any) -> None:
        """A file begins: may this person send any?"""
        person = getattr(self.request, "user", None)
        if person is None or Deed.TAKE_IN not in deeds_of(person):
            raise PermissionDenied(Deed.TAKE_IN.value)
        super().new_file(*args, **kwargs)

    def receive_data_chunk(self, raw_data: bytes, start: int) -> None:
        """One piece; a file past the limit is dropped and its name noted for the page."""
        if start + len(raw_data) > settings.UPLOAD_FILE_BYTES:
            assert self.request is not None
            self.request.META.setdefault(TOO_LARGE, []).append(self.file_name)
            raise SkipFile
        super().receive_data_chunk(raw_data, start)
