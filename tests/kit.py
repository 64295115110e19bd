"""Farms from a few lines of text, through the real road."""

from __future__ import annotations

import csv
import datetime as dt
import io

from traybook.exports.tables import own_tables
from traybook.files.tree import Files
from traybook.pipeline import Loaded, load_files
from traybook.rollup.farm import FarmFigures, farm_figures
from traybook.rollup.sowing import SowingFigures
from traybook.text.source import Source

AS_OF = dt.date(2027, 6, 1)
DAY0 = dt.date(2026, 3, 1)


def files_of(texts: dict[str, str]) -> Files:
    """Sources by path; farm.yaml and crops.yaml are settings."""
    files = Files()
    for path, text in sorted(texts.items()):
        source = Source(path, text)
        if path.endswith("farm.yaml"):
            files.farm = source
        elif path.endswith("crops.yaml"):
            files.crops = source
        elif "/plans/" in path:
            files.plans[int(path.rsplit("/", 1)[1][:4])] = source
        elif "/weather/" in path:
            files.temperatures.append(source)
        else:
            files.days.append(source)
    return files


def load_texts(texts: dict[str, str], as_of: dt.date = AS_OF, own: bool = True) -> Loaded:
    """A farm from texts by path."""
    return load_files(files_of(texts), as_of, own)


def days(*visits: tuple[int, str], start: dt.date = DAY0) -> dict[str, str]:
    """Day files by days from the start, each with the lines given."""
    out: dict[str, str] = {}
    for day, lines in visits:
        path = f"entries/{start + dt.timedelta(days=day)}.md"
        body = out.get(path, "---\n---\n").removesuffix("---\n")
        out[path] = body + lines.strip("\n") + "\n---\n"
    return out


def one_sowing(sown: str, *visits: tuple[int, str], **more: str) -> tuple[Loaded, SowingFigures]:
    """The figures of one sowing, x-26-1, sown on day 0; `x` in a visit stands for its code."""
    lines = [(day, text.replace(" x:", " x-26-1:")) for day, text in visits]
    texts = days((0, f"sown x-26-1: {sown}"), *lines)
    for name, text in more.items():
        texts[f"entries/{name}.yaml"] = text
    loaded = load_texts(texts)
    return loaded, farm_figures(loaded.kept).sowings["x-26-1"]


def tables(loaded: Loaded) -> dict[str, list[dict[str, str]]]:
    """The own tables, read back as rows."""
    figures: FarmFigures = farm_figures(loaded.kept)
    texts = own_tables(figures, loaded.findings)
    return {name: list(csv.DictReader(io.StringIO(text))) for name, text in texts.items()}
