"""What an installation may lack: the libraries of an extra, such as `hitchworth[reports]`."""


class MissingExtraError(Exception):
    """This installation cannot do what was asked for. The message names the extra to install."""
