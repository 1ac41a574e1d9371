"""The first build file: commented, ready to be read, with a few readings that are invented and say so."""

import json

_METRIC = ("581 mm", "365 mm", "462 mm left", "1210 mm", "1790 mm", "341 mm", "76.2 mm", "462 mm left, 464 mm left",
           "mm", "A4")
_INCH = ('22 7/8 in', "14 3/8 in", "18 3/16 in left", '3\' 11 5/8"', '5\' 10 1/2"', "13 7/16 in", "3 in",
         "18 3/16 in left, 18 1/4 in left", "in", "Letter")

_TEXT = """\
# A build file for trialfit. Lines that begin with # are remarks: they are kept, and count for nothing.
trialfit: 1                # version of the format
name: {name}
units: {units}              # how answers are shown: metric or inch
paper: {paper}
load state: on its wheels, two people in front, half a tank

# The notebook: one line, one reading. EVERY READING BELOW IS INVENTED: put your own in its place.
#
# Give each point you measure to a short name of letters, digits, _ . and -, such as eye.L, and mark it on the
# vehicle. Chalk the centre line on the floor; stations count rearward from a cross line you choose.
#
#   tape A B      from one point to another, tape straight
#   height A      above the floor
#   offset A      from the centre line, left or right as the driver sits
#   station A     along the centre line, from the cross line
#   angle A B     how much the line from A to B rises (up) or falls (down)
#   size NAME     of a thing, by calliper
#
# Repeats stand after a comma: their spread counts. By and a name says what it was read with, +- how sure you are.
readings:
  - station eye.L {station}
  - offset eye.L {offset}
  - height eye.L {height}
  - station pad.L {station2}
  - offset pad.L {offsets}
  - height pad.L {height2}
  - tape eye.L pad.L {tape} by tape-blind
  - angle eye.L pad.L 2.4 deg down
  - size axle tube {size}

# What you have measured so far is worked out by: trialfit survey THIS-FILE
# It names the reading that does not agree with the others, and what to measure next.
#
# When the points are there, take the # away below and put your own names in.

# bodies:                    # points that do not ride on the frame
#   axle: [pad.L, pad.R, pinion]
#
# suspension:
#   type: leaf springs
#   left:  {{front eye: eye.L, pad: pad.L, rear eye: rear.L, shackle: shackle.L}}
#   right: {{front eye: eye.R, pad: pad.R, rear eye: rear.R, shackle: shackle.R}}
#
# stops: {{bump: {bump}, droop: {droop}, apart: {apart}}}
#
# shapes:                    # what takes up room
#   axle tube: {{tube: tube.L tube.R, diameter: axle tube, kind: axle}}
#   tank:      {{box: tank.a tank.b, kind: fuel}}
"""


def starter(name: str = "My build", units: str = "metric") -> str:
    """Text of a first build file, with remarks; it is read without problems as it stands.

    Parameters
    ----------
    name : str
        what the build is called
    units : str
        ``metric`` or ``inch``

    Raises
    ------
    ValueError
        when ``units`` is neither

    >>> starter("Estate").splitlines()[2]
    'name: Estate'
    """
    if units not in ("metric", "inch"):
        raise ValueError(f"units are metric or inch, not {units!r}")
    chosen = _METRIC if units == "metric" else _INCH
    keys = ("tape", "height", "offset", "station", "station2", "height2", "size", "offsets", "unit", "paper")
    fields = dict(zip(keys, chosen))
    stops = ("80 mm", "90 mm", "900 mm") if units == "metric" else ("3 in", "3 1/2 in", "35 in")
    return _TEXT.format(name=_quoted(name), units=units, bump=stops[0], droop=stops[1], apart=stops[2], **fields)


def _quoted(name: str) -> str:
    """A name as the format writes it: plain where that is safe, else in double quotes."""
    flat = " ".join("".join(c if c.isprintable() else " " for c in name).split())[:200] or "My build"
    plain = flat.replace(" ", "").replace("-", "").replace(",", "")
    if plain.isalnum() and flat[0].isalpha() and flat.casefold() not in ("null", "true", "false"):
        return flat
    return json.dumps(flat, ensure_ascii=False)
