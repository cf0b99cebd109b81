"""Files that mean harm, and the child process that they are read in.

Run as a module with the name of a group; it prints one JSON line when it begins a case and one when the case
is over, so that a crash can be laid at one case's door.
"""

import json
import os
import resource
import signal
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import NamedTuple

from trainer.authoring.gate import MOST_BYTES, GatedText, gate_bytes, read_toml
from trainer.authoring.places import locate

MEMORY = 1 << 30
SECONDS = 20

ATTACKS = {
    "colour": "\x1b[31m",
    "clear screen": "\x1b[2J",
    "title": "\x1b]0;t\x07",
    "link": "\x1b]8;;https://x\x1b\\",
    "clipboard": "\x1b]52;c;aGk=\x07",
    "sixel": "\x1bPq#\x1b\\",
    "escape": "\x1b",
    "C1 colour": "\x9b31m",
    "C1 title": "\x9d0;t\x9c",
    "C1 device string": "\x90",
    "bell": "\x07",
    "backspace": "GO\x08\x08",
    "overprint": "GO\rNO-GO",
    "nul": "\x00",
    "delete": "\x7f",
    "next line": "\x85",
    "vertical tab": "\x0b",
    "form feed": "\x0c",
    **{f"U+{number:04X}": chr(number) for number in (*range(0x202A, 0x202F), *range(0x2066, 0x206A))},
    **{f"U+{number:04X}": chr(number) for number in (*range(0x200B, 0x2010), 0x061C, 0x00AD, 0xFEFF, 0xFFF9)},
    "line separator": "\u2028",
    "paragraph separator": "\u2029",
    "tags": "\U000e0041\U000e007f",
    "private use": "\ue000",
    "unassigned": "\U000e0fff",
    "marks": "a" + "\u0301" * 200,
    "joined emoji": "\U0001f468\u200d\U0001f469",
}
MARKUP = [
    "[red]x[/red]",
    "[/]",
    "[link=file:///etc/passwd]x[/link]",
    "[@click=app.quit]x[/]",
    ":skull:",
    "\\[",
    "trailing\\",
    "右向け右",
    "🚶",
]


class Case(NamedTuple):
    read: Callable[[], GatedText]
    accepted: bool = False


def escaped(text: str) -> str:
    return "".join(f"\\U{ord(char):08X}" for char in text)


def content(data: bytes | str, *, accepted: bool = False) -> Case:
    raw = data.encode("utf-8", "surrogatepass") if isinstance(data, str) else data
    return Case(lambda: gate_bytes(raw, "deck.toml"), accepted)


def terminal() -> Iterator[tuple[str, Case]]:
    for name, attack in ATTACKS.items():
        yield f"{name} in a text", content(f'a = 1\nb = "x{attack}"\n')
        yield f"{name} in a long text", content(f"a = '''\nx{attack}'''\n")
        yield f"{name} in a name", content(f'"{attack}" = 1\n')
        yield f"{name} in a bare name", content(f"a{attack} = 1\n")
        yield f"{name} in a block's name", content(f'[[movement]]\n[stance."{attack}"]\n')
        yield f"{name} in a comment", content(f"a = 1 # {attack}\n")
        yield f"{name} between values", content(f"a = [ 1,{attack} 2 ]\n")
        yield f"{name} escaped in a text", content(f'a = "{escaped(attack)}"\n')
        yield f"{name} escaped in a long text", content(f'a = """\n{escaped(attack)}"""\n')
        yield f"{name} escaped in a name", content(f'"{escaped(attack)}" = 1\n')
        yield f"{name} in a file's name", content_under_name(attack)
    for surrogate in ("\ud800", "\udcff"):
        yield f"{surrogate!a} in a text", content(f'a = "{surrogate}"\n')
        yield f"{surrogate!a} escaped", content(f'a = "\\u{ord(surrogate):04X}"\n')
    for text in MARKUP:
        yield (
            f"{text!a} stays",
            content(f"a = '{text}'\n'{text}' = 1\n", accepted=True),
        )
    yield "a line of 4,000 characters", content(f"# {'x' * 4000}\n")
    yield "a line of 2,000 characters", content(f"#{'x' * 1999}\n", accepted=True)


def content_under_name(attack: str) -> Case:
    return Case(lambda: gate_bytes(b"a = \n", f"dir/{attack}.toml"))


def filled(piece: str, *, head: str = "", tail: str = "") -> str:
    """Repeat a piece until the file is as large as one may be."""
    room = MOST_BYTES - len((head + tail).encode())
    return head + piece * (room // len(piece.encode())) + tail


def toml() -> Iterator[tuple[str, Case]]:
    yield "nothing", content("", accepted=True)
    yield "only comments", content("# a\n  # b", accepted=True)
    yield "only a byte order mark", content(b"\xef\xbb\xbf", accepted=True)
    yield "byte order mark", content(b"\xef\xbb\xbfa = 1\n", accepted=True)
    yield "two byte order marks", content(b"\xef\xbb\xbf\xef\xbb\xbfa = 1\n")
    for encoding in ("utf-16", "utf-16-le", "utf-16-be", "utf-32"):
        yield encoding, content('[deck]\nid = "x"\n'.encode(encoding))
    yield "Windows dash", content(b'a = 1\nb = "x \x96 y"\n')
    yield "byte of no encoding", content(b'a = "\x81"\n')
    yield "zeros", content(b"\0" * 1000)
    yield "all bytes", content(bytes(range(256)))
    yield "nul", content(b"a = 1\0\n")
    yield "Windows line ends", content("[a]\r\nb = 1\r\nc = '''\r\nx\r\n'''\r\n", accepted=True)
    yield "mixed line ends", content("[a]\r\nb = 1\nc = 2\r\n", accepted=True)
    yield "old line ends", content("[a]\rb = 1\r")
    yield "one old line end", content("[a]\r\nb = 1\rc = 2\n")
    yield "10 MB in one text", content(b'a = "' + b"x" * 10_000_000 + b'"\n')
    yield "10 MB in one line", content(b"# " + b"x" * 10_000_000)
    yield "a byte too many", content(b"#" * 100 + b"\n" * (MOST_BYTES - 99))
    yield "name of 100,000 parts", content("a" + ".a" * 99_999 + " = 1\n")
    yield "block of 100,000 parts", content("[a" + ".a" * 99_999 + "]\n")
    yield "name of 100,000 quoted parts", content('""' + '."x"' * 60_000 + " = 1\n")
    yield "name of 100,000 parts in a row", content("b = [{ a" + " . a" * 60_000 + " = 1 }]\n")
    yield "name of 100,000 parts after hidden openings", content("a = '\"'\nb = 1 # '''\nc" + ".c" * 99_000 + " = 1\n")
    yield "name of 100,000 parts after a mistake", content("a = = 1\nc" + ".c" * 99_000 + " = 1\n")
    yield "name of 17 parts", content("a" + ".a" * 16 + " = 1\n", accepted=True)
    yield "name of 18 parts", content("a" + ".a" * 17 + " = 1\n")
    yield (
        "dots in text are no parts",
        content(f'a = "{"a." * 199}"\n# {"a." * 900}\n"{"b." * 199}" = 1\n', accepted=True),
    )
    yield "8 lists", content("a = " + "[" * 8 + "]" * 8 + "\n", accepted=True)
    yield "9 lists", content("a = " + "[" * 9 + "]" * 9 + "\n")
    for count in (500, 900, 100_000):
        yield f"{count} lists", content("a = " + "[" * count + "]" * count + "\n")
        yield f"{count} lists left open", content("a = " + "[" * count)
        yield f"{count} rows", content("a = " + "{a = " * count + "1" + "}" * count + "\n")
        yield f"{count} lists on lines of their own", content("a = " + "[\n" * count)
    yield "20,000 blocks", content("[[a]]\n" * 20_000, accepted=True)
    yield "20,001 blocks", content("[[a]]\n" * 20_001)
    yield "20,000 different blocks", content("".join(f"[a{number}]\n" for number in range(20_000)), accepted=True)
    yield "20,000 values", content("a = [" + "\n1," * 19_999 + "]\n", accepted=True)
    yield "20,001 values", content("a = [" + "\n1," * 20_000 + "]\n")
    yield "number of 5,000 digits", content("a = " + "1" * 5_000 + "\n")
    yield "number of 5,000 digits, divided", content("a = " + "1_" * 5_000 + "1\n")
    yield "hexadecimal number of 5,000 digits", content("a = 0x" + "f" * 5_000 + "\n")
    yield "fraction of 5,000 digits", content("a = 0." + "1" * 5_000 + "\n")
    yield "number of 200,000 digits", content("a = " + "1" * 200_000 + "\n")
    for word in ("nan", "-nan", "+inf", "inf", "1e999", "-1e999", "1979-05-27", "07:32:00", "1979-05-27T07:32:00Z"):
        yield word, content(f"a = {word}\n")
        yield f"{word} in a row", content(f"a = [ {{ b = {word} }} ]\n")
    yield "no such date", content("a = 1979-02-30\n")
    yield "name given twice", content("a = 1\na = 2\n")
    yield "name given twice in a row", content("a = { b = 1, b = 2 }\n")
    yield "block opened twice", content("[a]\n[b]\n[a]\n")
    yield "value made a table", content("a = 1\na.b = 2\n")
    yield "row made a block", content("a = { b = 1 }\n[a.c]\n")
    yield "list made blocks", content("a = []\n[[a]]\n")
    for quotes in ('"', "'", '"""', "'''"):
        yield f"{quotes} left open", content(f"a = {quotes}x\nb = 1\n")
        yield f"{quotes} at the end", content(f"a = {quotes}")
    for escape in ("\\u", "\\u12", "\\U1234567", "\\U00110000", "\\x41", "\\e", "\\d", "\\ ", "\\"):
        yield f"escape {escape}", content(f'a = "{escape}"\n')
    yield "text of 400 characters", content(f"a = '{'x' * 400}'\n", accepted=True)
    yield "text of 401 characters", content(f"a = '{'x' * 401}'\n")
    yield "name of 401 characters", content(f"'{'x' * 401}' = 1\n")
    for piece in PIECES:
        yield f"{piece!a} all through", content(filled(piece), accepted=piece in ("\n", "\r\n", "#\n"))
        yield f"{piece!a} all through a row", content(filled(piece, head="a = [\n { b = "))


# Each invites a reader to go over the same text again and again.
PIECES = [
    *(
        "[",
        "]",
        "{",
        "}",
        "=",
        ".",
        "x",
        "-",
        "1",
        " a",
        "a.",
        "a=",
        "a = ",
        "[[",
        "]]",
        "[a.",
        "{a=",
        "{a=1 ",
        "[{a=1 ",
    ),
    *('"', "'", '"""', "'''", '""', '"\\', "'\"", '"""\\', '"x" ', '"a" = ', '" = ', '""."".', "“", "“x” ", '"”\n'),
    *("a = [\n", "a = {\n", "[\n", "{\n", "{ a = 1\n", "[[a]]\n[\n", "[a]\n", "[a", "a = 1\n", 'a = """\n', 'a = "\n'),
    *(
        "a = nan\n",
        "a = \\\n",
        "x\n",
        "x y\n",
        "éa = 1\n",
        "a = “x\n",
        "1,\n",
        ",",
        "\n",
        "\r\n",
        " ",
        "\t",
        "#",
        "#\n",
    ),
    *(
        "e\u0301\u0301\u0301\u0301",
        "\u0301",
        "\u200b",
        "\x1b\n",
        "\ufeff",
        "\\u0301",
        '"\\u0301',
        "1979-05-27 ",
        "1_",
        "=\n=",
    ),
]


def largest() -> Iterator[tuple[str, Case]]:
    """Give the costliest files that may pass, as far as found."""
    deep = ".".join("abcdefghijklmnop")
    yield "deep names", content("".join(f"{deep}.{number:x}=1\n" for number in range(6_500)), accepted=True)
    lines = "".join(f"{number:x}.{deep[2:]}.z=1\n" for number in range(6_800))
    yield "deep names, all different", content(lines, accepted=True)
    rows = "".join(f"[[{deep}.q]]\n" for _ in range(6_500))
    yield "deep blocks", content(rows, accepted=True)
    row = "[" * 6 + "{" + deep + "=1}" + "]" * 6 + ",\n"
    yield "deep rows", content("a = [" + row * 2_400 + "]\n", accepted=True)
    text = "".join(f'a{number:x} = "{"x" * 390}"\n' for number in range(640))
    yield "long texts", content(text, accepted=True)
    text = "".join(f'a{number:x} = "{chr(92) + "u00e9"}{"é" * 190}"\n' for number in range(650))
    yield "escapes", content(text, accepted=True)
    yield "comments", content(filled("# " + "x" * 1_900 + "\n"), accepted=True)
    yield "empty lines", content(filled("\n"), accepted=True)


def path(name: str | os.PathLike[str]) -> Case:
    return Case(lambda: read_toml(name))


def files() -> Iterator[tuple[str, Case]]:
    with tempfile.TemporaryDirectory(prefix="gate") as name:
        yield from files_in(Path(name))


def files_in(folder: Path) -> Iterator[tuple[str, Case]]:
    good = folder / "good.toml"
    good.write_text("a = 1\n")
    yield "a good file", Case(lambda: read_toml(good), accepted=True)
    yield "a good file by its text path", Case(lambda: read_toml(str(good)), accepted=True)
    yield "-", path("-")
    yield "no name", path("")
    yield "missing", path(folder / "missing.toml")
    yield "a folder", path(folder)
    yield "beneath a file", path(good / "deck.toml")
    yield "a nul in the name", path("a\0b")
    yield "a lone surrogate in the name", path("a\ud800b")
    yield "a long name", path("x" * 5_000)
    for device in ("/dev/zero", "/dev/null", "/dev/urandom", "/dev/tty", "/proc/self/mem"):
        yield device, path(device)
    os.mkfifo(folder / "pipe")
    yield "a pipe", path(folder / "pipe")
    (folder / "one").symlink_to(folder / "two")
    (folder / "two").symlink_to(folder / "one")
    yield "links in a circle", path(folder / "one")
    (folder / "to-zero").symlink_to("/dev/zero")
    yield "a link to a device", path(folder / "to-zero")
    large = folder / "large.toml"
    with large.open("wb") as file:
        file.truncate(10 << 30)
    yield "10 GiB, mostly a hole", path(large)
    closed = folder / "closed.toml"
    closed.write_text("a = 1\n")
    closed.chmod(0)
    yield "unreadable", Case(lambda: unprivileged(closed))
    names = {**ATTACKS, "marks": "a" + "\u0301" * 100, "newline": "a\nb", "no UTF-8": "\udcff"}
    for name, attack in names.items():
        if "\0" not in attack:
            named = folder / f"{attack.replace('/', ' ')}.toml"
            named.write_text("a = \n")
            yield f"{name} in a file's name", path(named)
            yield f"{name} in a missing file's name", path(f"{attack}/{attack}")


def unprivileged(file: Path) -> GatedText:
    """Read as somebody who is not root, to whom permissions mean nothing."""
    root = os.geteuid() == 0
    file.parent.chmod(0o755)
    if root:
        os.seteuid(65534)
    try:
        return read_toml(file)
    finally:
        if root:
            os.seteuid(0)


GROUPS = {"terminal": terminal, "toml": toml, "largest": largest, "files": files}


def main(group: str, skip: int) -> None:
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    for number, (name, case) in enumerate(GROUPS[group]()):
        if number < skip:
            continue
        report({"number": number, "name": name})
        signal.alarm(SECONDS)  # ends the process, whatever it is doing
        gated = case.read()
        if gated.data is not None:
            locate(gated.text)
        signal.alarm(0)
        report(
            {
                "number": number,
                "name": name,
                "accepted": case.accepted,
                "file": gated.file,
                "parsed": gated.data is not None,
                "problems": [[*problem, str(problem)] for problem in gated.problems],
            }
        )


def report(line: dict[str, object]) -> None:
    sys.stdout.write(json.dumps(line) + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]))
