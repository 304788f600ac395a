"""
Makes a page whole and closes it: what it needs is inside, and nothing in it can be fetched or run from outside.

The page is read on phones without signal and sent round by e-mail. So Leaflet is put into the file from the installed
package, a page with a link left in it is refused, and a content security policy lets the browser run only the scripts
and styles whose hashes are written in the page's head (W3C, Content Security Policy Level 3).
"""

import base64
import hashlib
import re
from html.parser import HTMLParser
from importlib.util import find_spec
from pathlib import Path

from turfgis.errors import OutputError

POLICY_MARK = "content-policy-goes-here"
_LINKING = {"src", "href", "srcset", "poster", "data", "action", "formaction", "background", "ping", "xlink:href"}
_REFUSED_TAGS = {"iframe", "frame", "object", "embed", "base", "applet"}
_CSS_URL = re.compile(r"url\(\s*[\"']?([^\"')]*)[\"']?\s*\)", re.IGNORECASE)
_TILE_URL = re.compile(
    r"https://((?:\{s\}\.)?[A-Za-z0-9](?:[A-Za-z0-9.-]*[A-Za-z0-9])?(?::\d{1,5})?)(/[\w\-./?=&%~:@{}]*)"
)


def leaflet_folder() -> Path:
    """Folder of Leaflet's own files in the installed package, found without importing it (it belongs to Django)."""
    spec = find_spec("js_lib_leaflet")
    for place in (spec.submodule_search_locations if spec else None) or ():
        folder = Path(place) / "static" / "js_lib_leaflet"
        if (folder / "leaflet.js").is_file() and (folder / "leaflet.css").is_file():
            return folder
    raise OutputError("the map needs Leaflet from the Python package django-js-lib-leaflet: install that package")


def data_uri(content: bytes, kind: str) -> str:
    """Content of a file as an address that holds it."""
    return f"data:{kind};base64,{base64.b64encode(content).decode('ascii')}"


def css_with_images(css: str, folder: Path) -> str:
    """A style sheet with the pictures it asks for put inside; what is not a file in the folder is left as it is."""

    def inside(found: re.Match[str]) -> str:
        picture = folder / found.group(1)
        if found.group(1).startswith(("data:", "#")) or not picture.is_file():
            return found.group(0)
        return f"url({data_uri(picture.read_bytes(), f'image/{picture.suffix[1:]}')})"

    return _CSS_URL.sub(inside, css)


def tile_host(url: str) -> str:
    """
    The one place a content policy must allow for an online background.

    Examples
    --------
    >>> tile_host("https://{s}.tiles.example/{z}/{x}/{y}.png")
    'https://*.tiles.example'
    """
    found = _TILE_URL.fullmatch(url)
    left = set(re.findall(r"\{([^}]*)\}?", found.group(2))) - set("xyzsr") if found else {""}
    if not found or left or "{{" in url or not {"{x}", "{y}", "{z}"} <= set(re.findall(r"\{.\}", url)):
        raise OutputError(
            f"cannot use '{url}' as an online background: write an address such as "
            "https://tiles.example/{z}/{x}/{y}.png, beginning with https:// and with {z}, {x} and {y} in it"
        )
    return "https://" + found.group(1).replace("{s}", "*")


class _Reader(HTMLParser):
    """Collects what a browser would run, apply or fetch."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.scripts: list[str] = []
        self.styles: list[str] = []
        self.outside: list[str] = []
        self._into: list[str] | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name.lower(): value or "" for name, value in attrs}
        self.outside += [f"<{tag}>"] * (tag in _REFUSED_TAGS)
        self.outside += [f"<{tag} {name}>" for name in given if name.startswith("on") or name == "style"]
        self.outside += [
            f"<{tag} {name}='{value[:80]}'>"
            for name, value in given.items()
            if name in _LINKING and not value.strip().lower().startswith(("#", "data:"))
        ]
        self.outside += ["<meta refresh>"] * (tag == "meta" and given.get("http-equiv", "").lower() == "refresh")
        self._into = None
        if tag == "style":
            self._into = self.styles
        elif tag == "script" and given.get("type", "") in ("", "module", "text/javascript"):
            self._into = self.scripts
        if self._into is not None:
            self._into.append("")

    def handle_data(self, data: str) -> None:
        if self._into is not None:
            self._into[-1] += data

    def handle_endtag(self, tag: str) -> None:
        self._into = None


def _hashes(texts: list[str]) -> str:
    """Texts as the sources a policy lets run; nothing at all where there are none."""
    found = {f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'" for text in texts}
    return " ".join(sorted(found)) or "'none'"


def content_policy(scripts: list[str], styles: list[str], image_host: str = "") -> str:
    """Policy that lets just these scripts and styles run, and lets nothing be fetched but pictures from one host."""
    return "; ".join(
        [
            "default-src 'none'",
            f"script-src {_hashes(scripts)}",
            f"style-src {_hashes(styles)}",
            f"img-src data: {image_host}".strip(),
            "base-uri 'none'",
            "form-action 'none'",
        ]
    )


def seal_page(html: str, image_host: str = "") -> str:
    """
    The page with its content policy written in.

    Parameters
    ----------
    html
        A whole page with :data:`POLICY_MARK` where the policy belongs.
    image_host
        The one place pictures may come from, or nothing.

    Raises
    ------
    OutputError
        Something in the page would be fetched, or would run without the policy knowing of it.
    """
    reader = _Reader()
    reader.feed(html)
    reader.close()
    for css in reader.styles:
        reader.outside += [
            f"url({found})" for found in _CSS_URL.findall(css) if not found.strip().lower().startswith(("#", "data:"))
        ]
        reader.outside += ["@import"] * ("@import" in css.lower())
    if reader.outside:
        raise OutputError(
            "the map was not written, because it would need something from outside the file: "
            + ", ".join(sorted(set(reader.outside))[:5])
        )
    # Only the first mark, which stands in the head: a name drawn in a layer may hold the same words further down.
    return html.replace(POLICY_MARK, content_policy(reader.scripts, reader.styles, image_host), 1)
