"""The settings of the server: one record, read once, from the environment and from what overrides it.

The setting `max_body_bytes` is the variable HITCHWORTH_MAX_BODY_BYTES, and the option --max-body-bytes of
`hitchworth serve`.
"""

from collections.abc import Mapping
from typing import Annotated, Any, Literal, get_type_hints

from msgspec import Meta, Struct

from hitchworth.model.fault import Fault
from hitchworth.model.strings import EmailAddress, LongText, PhoneNumber, ShortText
from hitchworth.validation import InvalidInputError, read_text, without_null

PREFIX = "HITCHWORTH_"
CLIENT_VARIABLES = frozenset({"HITCHWORTH_URL", "HITCHWORTH_TIMEOUT", "HITCHWORTH_KEY"})
"""Variables of the Python client: the server leaves them alone."""

DAY = 86_400
"""In seconds: the longest time of any setting."""


_ORIGIN = r"https?://[a-z0-9.\-]+(:[0-9]+)?"
"""Scheme, name and, where it is not the usual one, port; in lower case."""


class Settings(Struct, frozen=True, kw_only=True):
    """What the operator of a server decides."""

    host: Annotated[str, Meta(min_length=1, description="Address to listen on. The default is this machine only.")] = (
        "127.0.0.1"
    )
    port: Annotated[int, Meta(ge=0, le=65_535, description="Port to listen on; 0 takes any free port.")] = 8000
    database: Annotated[
        str | None,
        Meta(description="Where builds are kept: the path of a file, or postgresql://USER@HOST/NAME. Empty: nowhere."),
    ] = None
    allowed_hosts: Annotated[
        str,
        Meta(
            description="Names that callers may use for this server (the Host header), separated by commas. Empty: on "
            "loopback the names of this machine, elsewhere any."
        ),
    ] = ""
    cors_origins: Annotated[
        str,
        Meta(
            pattern=f"^ *({_ORIGIN}( *, *{_ORIGIN})*)? *$",
            description="Origins whose pages may call this server from a browser (CORS), separated by commas, each as "
            "the browser sends it: https://workshop.example. Pages of others are refused. Empty: this server's own.",
        ),
    ] = ""
    log_level: Annotated[
        Literal["debug", "info", "warning", "error"], Meta(description="The least severe events that are logged.")
    ] = "info"
    log_format: Annotated[
        Literal["json", "text"] | None,
        Meta(description="A JSON object on each line, or text for people. Empty: text on a terminal, else JSON."),
    ] = None
    access_log: Annotated[bool, Meta(description="Log a line for each request.")] = True
    metrics: Annotated[bool, Meta(description="Serve metrics for Prometheus at /metrics.")] = True
    telemetry: Annotated[
        bool,
        Meta(
            description="Send a span of each request to an OpenTelemetry collector; needs `hitchworth[telemetry]`. The "
            "OTEL_ variables say where to."
        ),
    ] = False
    require_keys: Annotated[
        bool,
        Meta(description="Ask for a key on loopback, too. Elsewhere a server with a database always does."),
    ] = False
    rate_limit: Annotated[
        int, Meta(ge=0, le=1_000_000, description="Requests that a key may make in a minute; 0: no limit.")
    ] = 600
    max_body_bytes: Annotated[
        int, Meta(ge=1_000, le=1_000_000_000, description="The largest body that is accepted.")
    ] = 10_000_000
    evidence: Annotated[
        str | None,
        Meta(
            description="Where the files of evidence are kept: a folder, or s3://BUCKET/PREFIX with the AWS_ "
            "variables. Empty: beside a SQLite file."
        ),
    ] = None
    max_evidence_bytes: Annotated[
        int, Meta(ge=1_000, le=1_000_000_000, description="The largest photo or paper that is accepted.")
    ] = 50_000_000
    max_evidence_pixels: Annotated[
        int, Meta(ge=10_000, le=150_000_000, description="The pixels that a photo may have at most.")
    ] = 64_000_000
    upload_seconds: Annotated[
        float, Meta(ge=0.1, le=DAY, description="Time in which a photo or paper has to arrive.")
    ] = 600.0
    max_in_flight: Annotated[
        int, Meta(ge=1, le=100_000, description="Requests at once. More are answered with 503 and Retry-After.")
    ] = 200
    workers: Annotated[
        int | None,
        Meta(
            ge=0,
            le=1_000,
            description="Processes that compute long answers; one more is for short ones. Empty: one for each "
            "processor. 0: none, and threads that cannot be stopped take their place.",
        ),
    ] = None
    max_waiting: Annotated[
        int,
        Meta(
            ge=0,
            le=100_000,
            description="Computations that may wait for a process. More are answered with 503 and Retry-After.",
        ),
    ] = 64
    max_connections: Annotated[
        int, Meta(ge=1, le=1_000_000, description="Connections at once. More are answered with 503 and closed.")
    ] = 500
    head_seconds: Annotated[
        float,
        Meta(ge=0.1, le=DAY, description="Time in which the head of a request has to arrive: address and headers."),
    ] = 15.0
    receive_seconds: Annotated[float, Meta(ge=0.1, le=DAY, description="Time in which the body has to arrive.")] = 60.0
    answer_seconds: Annotated[float, Meta(ge=0.1, le=DAY, description="Time that one answer may take.")] = 120.0
    drain_seconds: Annotated[
        float,
        Meta(
            ge=0,
            le=DAY,
            description="After SIGTERM: time in which /ready says 503 and requests are still accepted, so that a load "
            "balancer can turn away.",
        ),
    ] = 0.0
    stop_seconds: Annotated[
        float,
        Meta(
            gt=0,
            le=DAY,
            description="After that: time in which the requests in work may finish before they are cut off.",
        ),
    ] = 30.0
    webhooks: Annotated[
        bool, Meta(description="Send the messages to webhooks from this process. No: only `webhooks deliver` does.")
    ] = True
    webhook_seconds: Annotated[
        float, Meta(ge=0.1, le=300, description="Time that the receiver of a message has in all to answer.")
    ] = 15.0
    webhook_networks: Annotated[
        str,
        Meta(
            pattern="^[0-9A-Fa-f:./, ]*$",
            description="Networks that are not public, to which messages may go all the same: 10.1.0.0/16, separated "
            "by commas. Empty: none.",
        ),
    ] = ""
    webhook_http: Annotated[bool, Meta(description="Send messages to http addresses, too: unencrypted.")] = False
    workshop_name: Annotated[
        ShortText | None,
        Meta(description="Name of the workshop that quotes, for quotes that name none. Empty: left blank on reports."),
    ] = None
    workshop_address: Annotated[LongText | None, Meta(description="Its postal address. Empty: not printed.")] = None
    workshop_telephone: Annotated[PhoneNumber | None, Meta(description="Its telephone. Empty: not printed.")] = None
    workshop_email: Annotated[EmailAddress | None, Meta(description="Its e-mail address. Empty: not printed.")] = None
    workshop_registration: Annotated[
        ShortText | None, Meta(description="Its business or tax number, as it is to be printed. Empty: not printed.")
    ] = None
    workshop_logo: Annotated[
        str | None, Meta(description="The file of its logo: JPEG, PNG or WebP. It is read at the start. Empty: none.")
    ] = None


def variable(name: str) -> str:
    """Return the environment variable of a setting."""
    return PREFIX + name.upper()


def read_settings(environment: Mapping[str, str], **overrides: Any) -> Settings:
    """Return the settings. An empty variable counts as not set, an override of None is none.

    Raises InvalidInputError with every fault at once: variables that are invalid, and HITCHWORTH_ variables that are no
    setting. A fault has the name of its variable as its pointer.
    """
    names = {variable(name): name for name in Settings.__struct_fields__}
    kinds = get_type_hints(Settings, include_extras=True)
    chosen = {name: value for name, value in overrides.items() if value is not None}
    faults = []
    for key, text in sorted(environment.items()):
        if not key.startswith(PREFIX) or key in CLIENT_VARIABLES or not text.strip():
            continue
        if key not in names:
            faults.append(Fault(pointer=key, detail="Unknown setting", expected=f"one of {', '.join(names)}"))
        elif names[key] not in chosen:
            try:
                chosen[names[key]] = read_text(text.strip(), without_null(kinds[names[key]]))
            except InvalidInputError as error:
                faults.extend(
                    Fault(pointer=key, detail=each.detail, expected=each.expected, found=each.found)
                    for each in error.faults
                )
    if faults:
        raise InvalidInputError(faults)
    return Settings(**chosen)
