"""Second readers of our own files, written for the tests from the formats' descriptions."""

from xml.etree import ElementTree as ET

SVG = "{http://www.w3.org/2000/svg}"


def dxf_tags(data):
    """The group codes and values of a text DXF file: two lines for each."""
    lines = data.decode("cp1252").splitlines()
    return [(int(code), value) for code, value in zip(lines[::2], lines[1::2], strict=True)]


def dxf_header(data):
    """Header variables: name to the list of its values."""
    variables, name = {}, None
    for code, value in dxf_tags(data):
        if (code, value) == (0, "ENDSEC"):
            break
        if code == 9:
            name = value
            variables[name] = []
        elif name:
            variables[name].append(value)
    return variables


def dxf_entities(data):
    """Entities of the ENTITIES section: kind and its tags."""
    entities, section, opened = [], None, False
    for code, value in dxf_tags(data):
        if code == 0:
            opened = value == "SECTION"
            if section == "ENTITIES" and value != "ENDSEC":
                entities.append((value, []))
            if value == "ENDSEC":
                section = None
        elif opened and code == 2:
            section, opened = value, False
        elif section == "ENTITIES" and entities:
            entities[-1][1].append((code, value))
    return entities


def dxf_polylines(data):
    """Light polylines: layer, closed, vertices (group codes 8, 70 bit 1, 10 and 20)."""
    found = []
    for kind, tags in dxf_entities(data):
        if kind == "LWPOLYLINE":
            first = dict(reversed(tags))
            xs = [float(value) for code, value in tags if code == 10]
            ys = [float(value) for code, value in tags if code == 20]
            vertices = list(zip(xs, ys, strict=True))
            found.append((first[8], bool(int(first[70]) & 1), vertices))
    return found


def svg_shapes(data):
    """Polygons and polylines of an SVG file in millimetres, y up: class, closed, points."""
    root = ET.fromstring(data)
    _, _, width, height = map(float, root.get("viewBox").split())
    scale_x = float(root.get("width").removesuffix("mm")) / width
    scale_y = float(root.get("height").removesuffix("mm")) / height
    shapes = []
    for group in root.iter(f"{SVG}g"):
        for shape in group:
            if shape.tag in (f"{SVG}polygon", f"{SVG}polyline"):
                pairs = [map(float, pair.split(",")) for pair in shape.get("points").split()]
                points = [(x * scale_x, (height - y) * scale_y) for x, y in pairs]
                shapes.append((group.get("class"), shape.tag == f"{SVG}polygon", points))
    return shapes


def hpgl_strokes(data):
    """Pen and points (millimetres) of each stroke of an HP-GL file, by ezdxf's interpreter."""
    from ezdxf.addons.hpgl2.backend import Recorder
    from ezdxf.addons.hpgl2.interpreter import Interpreter
    from ezdxf.addons.hpgl2.plotter import Plotter
    from ezdxf.addons.hpgl2.tokenizer import hpgl2_commands

    recorder = Recorder()
    interpreter = Interpreter(Plotter(recorder))
    interpreter.run(hpgl2_commands(b"\x1b%0B" + data))
    strokes = []
    for _, properties, points in recorder.player().recordings():
        run = [(float(p.x) / 40, float(p.y) / 40) for p in points.vertices()]
        if strokes and strokes[-1][0] == properties.pen_index and strokes[-1][1][-1] == run[0]:
            strokes[-1][1].extend(run[1:])  # one stroke in several instructions
        else:
            strokes.append((properties.pen_index, run))
    return strokes


def hpgl_frames(data):
    """Frames of an HP-GL plot: of each, pen and points of every stroke, in plotter units.

    From the description of the language: two letters, then numbers with commas or blanks
    between them; LB takes letters up to the character 3; PG feeds the next frame.
    """
    text, at, pen, down, place = data.decode("ascii"), 0, 0, False, (0, 0)
    frames, strokes = [], []
    while at < len(text):
        if not text[at].isalpha():
            at += 1
            continue
        name, end = text[at : at + 2], at + 2
        if name == "LB":
            at = text.index("\x03", end) + 1
            continue
        while end < len(text) and not text[end].isalpha() and text[end] != ";":
            end += 1
        numbers = [float(n) for n in text[at + 2 : end].replace(",", " ").split()]
        at = end
        if name == "SP":
            pen = int(numbers[0]) if numbers else 0
        elif name == "PG":
            frames.append(strokes)
            strokes = []
        elif name in ("PU", "PD"):
            down = name == "PD"
        if name in ("PU", "PD", "PA"):
            for point in zip(numbers[::2], numbers[1::2], strict=True):
                if down and strokes and strokes[-1][0] == pen and strokes[-1][1][-1] == place:
                    strokes[-1][1].append(point)
                elif down:
                    strokes.append((pen, [place, point]))
                place = point
    return [*frames, strokes]
