"""What the charts have in common: the frame of the SVG with its title and description, the fonts, and the palette."""

from html import escape

WIDTH = 680
FONTS = "'Libertinus Serif', Georgia, 'Liberation Serif', 'DejaVu Serif', serif"

INK = "#1b1b1b"
BLUE = "#27496b"
GRAY = "#555"
PAPER = "#fff"


def svg(content: str, height: int, title: str, description: str, name: str) -> str:
    """Return the SVG text of a chart. `name` keeps the ids of several charts on one page apart."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height}" role="img" '
        f'aria-labelledby="{name}-title {name}-desc" font-family="{FONTS}" font-size="12.5" fill="{INK}">'
        f'<title id="{name}-title">{escape(title)}</title><desc id="{name}-desc">{escape(description)}</desc>'
        f"{content}</svg>"
    )
