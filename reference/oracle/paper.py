"""Documents on paper, read by programs of others: text, links, bookmarks, sizes, and whether they are fit to be kept.

Usage: paper.py PROGRAM, where PROGRAM is bedplate built with `--features paper`. Every document of a shipped vessel is printed
on both papers. pypdf reads text, foot, bookmarks and links, and what ISO 19005-2 (PDF/A-2) asks of the file as a whole: its
claim, an output intent, embedded fonts, no encryption, no scripts, tags and a language. pdf_oxide, a validator of others, is
asked for PDF/A and PDF/UA besides. Neither is a full conformance checker; that one runs on Java and is in no registry used here.
"""
import json
import re
import subprocess
import sys
import tempfile
from pathlib import Path

import pdf_oxide
import pypdf

VESSEL = "vessels/marram"
SIZES = {"a4": (595.28, 841.89), "letter": (612.0, 792.0)}
# What must be found on paper, whatever else a document says.
WORDS = {
    "rounds": ["Round sheet", "Marram", "Initials", "Raw-water pump"],
    "due": ["Due", "Done on, hours"],
    "stores": ["Aboard", "Counted", "To order"],
    "emergency": ["Too hot", "No oil pressure", "Caution."],
    "tags": ["seacock", "Caution."],
    "handbook": ["Contents", "Starting Marram", "Where every valve is"],
}
NAME = "Marram"
FORBIDDEN = ("/JavaScript", "/JS", "/Launch", "/EmbeddedFiles", "/RichMedia", "/Sound", "/Movie", "/XFA")


def run(program, *arguments):
    done = subprocess.run([program, *arguments], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        raise SystemExit(f"{' '.join(arguments)}: {done.stderr}")
    return done.stdout


def objects(reader):
    """Every object of the file, once."""
    for number in sorted({number for table in reader.xref.values() for number in table} | set(reader.xref_objStm)):
        yield reader.get_object(pypdf.generic.IndirectObject(number, 0, reader))


def keys(thing):
    """Every name used as a key or a value, however deep, without following references."""
    if isinstance(thing, dict):
        for key, value in thing.items():
            yield str(key)
            yield from keys(value if not isinstance(value, pypdf.generic.IndirectObject) else None)
    elif isinstance(thing, list):
        for value in thing:
            yield from keys(value if not isinstance(value, pypdf.generic.IndirectObject) else None)
    elif isinstance(thing, pypdf.generic.NameObject):
        yield str(thing)


def kept(reader, faults):
    """What PDF/A-2 asks of the file as a whole."""
    root = reader.trailer["/Root"]
    claim = root["/Metadata"].get_data().decode()
    level = re.search(r"pdfaid:conformance\W+(?:>)?([ABU])", claim)
    if not re.search(r"pdfaid:part\W+2", claim) or level is None:
        faults.append("it does not claim PDF/A-2")
    if reader.is_encrypted:
        faults.append("it is encrypted")
    intents = root.get("/OutputIntents", [])
    if not any(intent.get_object()["/S"] == "/GTS_PDFA1" and "/DestOutputProfile" in intent.get_object() for intent in intents):
        faults.append("no output intent with a colour profile")
    if not root.get("/Lang") or not root.get("/MarkInfo", {}).get("/Marked") or "/StructTreeRoot" not in root:
        faults.append("no language or no tags")
    if not reader.metadata or not reader.metadata.title:
        faults.append("no title")
    fonts = 0
    for thing in objects(reader):
        for bad in set(keys(thing)) & set(FORBIDDEN):
            faults.append(f"it holds {bad}")
        if isinstance(thing, dict) and thing.get("/Type") == "/FontDescriptor":
            fonts += 1
            if not any(file in thing for file in ("/FontFile", "/FontFile2", "/FontFile3")):
                faults.append(f"{thing['/FontName']} is not embedded")
        if isinstance(thing, dict) and thing.get("/Type") == "/Font" and thing.get("/Subtype") == "/Type0" and "/ToUnicode" not in thing:
            faults.append(f"{thing['/BaseFont']} cannot be searched")
    if not fonts:
        faults.append("no font was found")
    return level and level.group(1)


def bookmarks(outline):
    for one in outline:
        if isinstance(one, list):
            yield from bookmarks(one)
        else:
            yield one


def links(reader, faults):
    """How many links lead to a page of this file; none may lead out of it."""
    inside = 0
    pages = {page.indirect_reference.idnum for page in reader.pages}
    for page in reader.pages:
        for link in page.get("/Annots", []):
            link = link.get_object()
            if link["/Subtype"] != "/Link":
                faults.append(f"an annotation {link['/Subtype']}")
                continue
            goal = link.get("/Dest") or link["/A"].get_object().get("/D")
            if goal is None:
                faults.append("a link leads out of the file")
                continue
            goal = goal.get_object()
            if isinstance(goal, (str, bytes)):
                goal = reader.named_destinations[str(goal)].dest_array
            if goal[0].idnum not in pages:
                faults.append("a link leads nowhere")
            inside += 1
    return inside


def whole(path):
    """All its text, and what it says of itself."""
    reader = pypdf.PdfReader(path)
    said = " ".join(page.extract_text() for page in reader.pages)
    return said + str(reader.metadata) + reader.trailer["/Root"]["/Metadata"].get_data().decode()


def looked_at(path, paper, told):
    """One document: what is wrong with it, and a line about it."""
    faults = []
    reader = pypdf.PdfReader(path)
    level = kept(reader, faults)
    if len(reader.pages) != told["pages"]:
        faults.append(f"{len(reader.pages)} pages, told were {told['pages']}")
    for number, page in enumerate(reader.pages, 1):
        size = sorted((float(page.mediabox.width), float(page.mediabox.height)))
        if any(abs(a - b) > 0.5 for a, b in zip(size, SIZES[paper])):
            faults.append(f"page {number} is {size}")
        text = page.extract_text()
        if f"page {number} of {len(reader.pages)}" not in re.sub(r"\s+", " ", text):
            faults.append(f"page {number} does not say so: {text[-120:]!r}")
    text = re.sub(r"\s+", " ", " ".join(page.extract_text() for page in reader.pages))
    if text.count("What it rests on.") != 1:
        faults.append(f"what it rests on is said {text.count('What it rests on.')} times")
    outline = list(bookmarks(reader.outline))
    inside = links(reader, faults)
    if len(reader.pages) > 4 and (not outline or not inside):
        faults.append(f"{len(outline)} bookmarks and {inside} links")
    document = pdf_oxide.PdfDocument(str(path))
    judged = document.validate_pdf_a(f"2{level.lower() if level else 'b'}")
    faults += [f"PDF/A: {error}" for error in judged["errors"]]
    # Readers are not told to show the title in place of the file's name: that is asked by PDF/UA alone, which is not claimed.
    judged = document.validate_pdf_ua()
    faults += [f"PDF/UA: {error}" for error in judged["errors"] if "UA-DOC-004" not in str(error)]
    return faults, text, f"{len(reader.pages)} pages, PDF/A-2{level}, {len(outline)} bookmarks, {inside} links"


def main(program):
    wrong = 0
    with tempfile.TemporaryDirectory() as folder:
        for paper in SIZES:
            listing = json.loads(run(program, "print", VESSEL, "all", "--paper", paper, "--out", folder, "--date", "2026-11-26", "--json"))
            if not listing["documents"]:
                print("nothing was printed")
                return 1
            for told in listing["documents"]:
                path = Path(told["file"])
                faults, text, words = looked_at(path, paper, told)
                again = Path(folder) / "again.pdf"
                run(program, "print", VESSEL, told["what"], "--paper", paper, "--out", str(again), "--date", "2026-11-26")
                if again.read_bytes() != path.read_bytes():
                    faults.append("printed again it is another file")
                run(program, "print", VESSEL, told["what"], "--without-name", "--out", str(again))
                if NAME in whole(again):
                    faults.append("her name is in it though it is left out")
                faults += [f"“{word}” is not on it" for word in WORDS.get(told["what"], []) if word not in text]
                print(f"{told['what']}, {paper}: {words}")
                for fault in sorted(set(faults)):
                    print(f"  {fault}")
                wrong += len(set(faults))
    print(f"{wrong} faults")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
