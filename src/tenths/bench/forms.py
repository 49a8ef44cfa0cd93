"""Plain forms, for pages that take something in without JavaScript."""

from collections.abc import Sequence

from starlette.requests import Request

from tenths.errors import BadInput

MOST_BYTES = 4_000_000  # of a file
MOST_TEXT = 200_000  # of one field


async def typed_form(request: Request, fields: Sequence[str], file: str = "") -> tuple[dict[str, str], tuple[str, bytes] | None]:
    """What was typed into the fields that are known, and name and content of the file, where one was chosen.

    Raises:
        BadInput: when the file is too large.
    """
    length = request.headers.get("content-length", "")
    if not length.isdigit() or int(length) > MOST_BYTES + MOST_TEXT:
        raise BadInput(f"file: up to {MOST_BYTES:,} bytes are taken")
    async with request.form(max_files=1, max_fields=40, max_part_size=MOST_TEXT) as form:
        typed = {key: value.strip() for key, value in form.items() if isinstance(value, str) and key in fields}
        sent = form.get(file) if file else None
        if sent is None or isinstance(sent, str) or not sent.filename:
            return typed, None
        content = await sent.read(MOST_BYTES + 1)
        if len(content) > MOST_BYTES:
            raise BadInput(f"file: up to {MOST_BYTES:,} bytes are taken")
        return typed, (sent.filename, content)
