"""Rows: numbers that no music has. Each is left out or bounded with a notice, and the rest of the score is checked.

What each element may hold: MusicXML 4.0, the element named. That a slip in one number must not cost the whole check is this
project's own choice.
"""

from __future__ import annotations

from tests.hostile.row import Row, bar, score

TIME = "<time><beats>4</beats><beat-type>4</beat-type></time>"
ABSURD = ("0", "-1", "1e309", "NaN", "Infinity", "1000000000000", "1/3", "many", "", "9" * 100_000)
QUICK = ("-1", "1e309", "1000000000000")
"""Those that every run tries on each element; the others are for the long runs."""
LONG = 20


def _called(text: str) -> str:
    return text[:LONG] + ("…" if len(text) > LONG else "") or "(empty)"


def _attributes(name: str, xml: str, texts: tuple[str, ...]) -> list[Row]:
    return [
        Row(
            f"{name}: {_called(text)}",
            score(attributes=f"<divisions>1</divisions>{TIME}{xml.format(text)}"),
            "checked",
            long=text not in QUICK,
        )
        for text in texts
    ]


def _notes(name: str, xml: str, texts: tuple[str, ...]) -> list[Row]:
    return [Row(f"{name}: {_called(text)}", score(first=xml.format(text)), "checked", long=text not in QUICK) for text in texts]


def _pitch(step: str = "G", alter: str = "", octave: str = "4") -> str:
    alter = f"<alter>{alter}</alter>" if alter else ""
    return f"<note><pitch><step>{step}</step>{alter}<octave>{octave}</octave></pitch><duration>1</duration></note>"


PLAIN = "<note><pitch><step>G</step><octave>4</octave></pitch><duration>1</duration><voice>1</voice>{}</note>"
DIVISIONS = [
    Row(f"divisions: {_called(text)}", score(attributes=f"<divisions>{text}</divisions>{TIME}"), "checked", "divisions are")
    for text in ABSURD
]  # fmt: skip
DIVISIONS += [
    Row("divisions: 0.0001", score(attributes=f"<divisions>0.0001</divisions>{TIME}"), "checked"),
    Row("divisions that change in each of 500 bars, all primes to one another", score(
        bars="".join(bar(f"<attributes><divisions>{1009 + 2 * n}</divisions></attributes>", n) for n in range(500))), "checked"),
]  # fmt: skip
DURATIONS = [Row(f"a duration: {_called(text)}", score(duration=text), "checked") for text in ABSURD]
DURATIONS += [
    *(Row(f"{name} of {_called(text)}", score(after=f"<{name}><duration>{text}</duration></{name}>"), "checked")
      for name in ("backup", "forward") for text in ("1000000", "1000000000000", "-4", "1e309", "many")),
    Row("10,000 backups of 1,000,000", score(after="<backup><duration>1000000</duration></backup>" * 10_000), "checked"),
    Row("10,000 forwards of 900,000", score(after="<forward><duration>900000</duration></forward>" * 10_000), "checked"),
    Row("1,000 notes of 1,000,000 quarters each", score(first=PLAIN.replace(">1<", ">1000000<").format("") * 1000), "checked"),
]  # fmt: skip
NUMBERS = [
    *DIVISIONS,
    *DURATIONS,
    *[Row(f"alter: {_called(text)}", score(first=_pitch(alter=text)), "checked") for text in ABSURD if text],
    *[Row(f"octave: {_called(text)}", score(first=_pitch(octave=text)), "checked") for text in (*ABSURD, "999", "-5", "4.5")],
    *[Row(f"step: {_called(text)}", score(first=_pitch(step=text)), "checked") for text in ("H", "", "GG", "9" * 100_000)],
    *_notes("a tempo", '<direction><direction-type><words>x</words></direction-type><sound tempo="{}"/></direction>', ABSURD),
    *_notes("a metronome mark", "<direction><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>{}</per-minute>"
            "</metronome></direction-type></direction>", ABSURD),
    *_notes("the dots of a note (count)", PLAIN.format("<type>quarter</type>" + "<dot/>" * 50_000) + "<!--{}-->", ("50,000",)),
    *_notes("a note value", PLAIN.format("<type>{}</type>"), ("1e309", "2048th", "")),
    *_notes("a tuplet's actual notes", PLAIN.format(
        "<time-modification><actual-notes>{}</actual-notes><normal-notes>2</normal-notes></time-modification>"), ABSURD),
    *_notes("a tuplet's normal notes, no duration", PLAIN.replace("<duration>1</duration>", "").format(
        "<type>quarter</type><time-modification><actual-notes>3</actual-notes><normal-notes>{}</normal-notes>"
        "</time-modification>"), ABSURD),
    *_notes("a tremolo", PLAIN.format("<notations><ornaments><tremolo>{}</tremolo></ornaments></notations>"), ABSURD),
    *_notes("a staff", PLAIN.format("<staff>{}</staff>"), ABSURD),
    *_notes("a voice", PLAIN.replace("<voice>1</voice>", "<voice>{}</voice>").format("{}", ""), ABSURD),
    *_notes("a slur's number", PLAIN.format('<notations><slur type="start" number="{}"/></notations>'), ABSURD),
    *_notes("a note's dynamics", PLAIN.replace("<note>", '<note dynamics="{}">').format("{}", ""), ABSURD),
    *_notes("a note's attack", PLAIN.replace("<note>", '<note attack="{}">').format("{}", ""), ABSURD),
    *_notes("a string", PLAIN.format("<notations><technical><string>{0}</string><fret>{0}</fret></technical></notations>"), ABSURD),
    *_notes("an offset", "<direction><direction-type><words>arco</words></direction-type><offset>{}</offset></direction>", ABSURD),
    *_attributes("beats", "<time><beats>{}</beats><beat-type>4</beat-type></time>", (*ABSURD, "1+" * 10_000 + "1")),
    *_attributes("beat type", "<time><beats>4</beats><beat-type>{}</beat-type></time>", (*ABSURD, "3")),
    *_attributes("fifths", "<key><fifths>{}</fifths></key>", ABSURD),
    *_attributes("a key's alter", "<key><key-step>C</key-step><key-alter>{}</key-alter></key>", ABSURD),
    *_attributes("transpose: chromatic", "<transpose><chromatic>{}</chromatic></transpose>", ABSURD),
    *_attributes("transpose: diatonic", "<transpose><diatonic>{}</diatonic><chromatic>2</chromatic></transpose>", ABSURD),
    *_attributes("transpose: octave", "<transpose><chromatic>2</chromatic><octave-change>{}</octave-change></transpose>", ABSURD),
    *_attributes("staves", "<staves>{}</staves>", ABSURD),
    *_attributes("staff lines", "<staff-details><staff-lines>{}</staff-lines></staff-details>", ABSURD),
    *_attributes("a tuning's octave", '<staff-details><staff-tuning line="1"><tuning-step>C</tuning-step><tuning-octave>{}'
                 "</tuning-octave></staff-tuning></staff-details>", ABSURD),
    *_attributes("a tuning's line", '<staff-details><staff-tuning line="{}"><tuning-step>C</tuning-step><tuning-octave>4'
                 "</tuning-octave></staff-tuning></staff-details>", ABSURD),
    *_attributes("a capo", "<staff-details><capo>{}</capo></staff-details>", ABSURD),
    *_attributes("a clef's line", "<clef><sign>G</sign><line>{}</line></clef>", ABSURD),
    *_attributes("a clef's octave", "<clef><sign>G</sign><clef-octave-change>{}</clef-octave-change></clef>", ABSURD),
    *_attributes("bars of a multiple rest", "<measure-style><multiple-rest>{}</multiple-rest></measure-style>", ABSURD),
    *_attributes("bars of a measure repeat",
                 '<measure-style><measure-repeat type="start">{}</measure-repeat></measure-style>', ABSURD),
    *[Row(f"times of a repeat: {_called(text)}", score(
        after=f'<barline location="right"><repeat direction="backward" times="{text}"/></barline>'), "checked") for text in ABSURD],
    *[Row(f"endings: {_called(text)}", score(
        first=f'<barline location="left"><ending number="{text}" type="start"/></barline>',
        after=f'<barline location="right"><ending number="{text}" type="stop"/><repeat direction="backward"/></barline>'),
        "checked") for text in (*ABSURD, "1-1000000000", ",".join(map(str, range(20_000))))],
    *[Row(f"MIDI program: {_called(text)}", score(
        listed='<score-part id="P1"><part-name/><score-instrument id="I"><instrument-name/></score-instrument>'
               f'<midi-instrument id="I"><midi-channel>{text}</midi-channel><midi-program>{text}</midi-program>'
               f"<midi-unpitched>{text}</midi-unpitched></midi-instrument></score-part>"), "checked") for text in ABSURD],
    *[Row(f"size of words: {_called(text)}",
          score(listed='<score-part id="P1"><part-name>Violin</part-name></score-part>').replace(
              b"<part-list>", f'<defaults><word-font font-size="{text}"/></defaults><part-list>'.encode()), "checked")
      for text in ABSURD],
]  # fmt: skip
FLOODS = (
    Row("10,000 bars", score(bars="".join(bar(number=n) for n in range(2, 10_000))), "checked"),
    Row("2,000 repeats one in another", score(
        bars="".join(bar('<barline location="left"><repeat direction="forward"/></barline>', n) for n in range(2000))
        + "".join(bar('<barline location="left"><repeat direction="backward"/></barline>', n) for n in range(2000))), "checked", long=True),
    Row("300 repeats of 1,000,000 times each", score(
        bars="".join(bar("", n).replace(
            "</measure>", '<barline location="right"><repeat direction="backward" times="1000000"/></barline></measure>')
            for n in range(300))), "checked"),
    Row("500 bars that all say da capo and dal segno", score(
        bars="".join(bar('<direction><direction-type><segno/></direction-type><sound dacapo="yes" segno="a" dalsegno="a" coda="b"'
                         ' tocoda="b"/></direction>', n) for n in range(500))), "checked"),
    Row("3,000 parts in the list and one in the score", score(listed="".join(
        f'<score-part id="P{n}"><part-name>Violin {n}</part-name></score-part>' for n in range(1, 3001))), "checked"),
    Row("10,000 part groups that never end", score(
        listed="".join(f'<part-group type="start" number="{n}"><group-name>g{n}</group-name></part-group>' for n in range(10_000))
        + '<score-part id="P1"><part-name>Violin</part-name></score-part>'), "checked"),
    Row("400 parts of one bar", score(
        listed="".join(f'<score-part id="P{n}"><part-name>Violin {n}</part-name></score-part>' for n in range(1, 401)),
        bars="</part>" + "</part>".join(f'<part id="P{n}">{bar(number=1)}' for n in range(2, 401))), "checked", long=True),
    Row("a chord of 2,000 notes", score(after=PLAIN.format("").replace("<note>", "<note><chord/>") * 2000), "checked"),
    Row("2,000 grace notes before one note", score(
        first="<note><grace/><pitch><step>A</step><octave>4</octave></pitch><voice>1</voice></note>" * 2000), "checked"),
    Row("2,000 voices", score(after="".join(
        "<backup><duration>4</duration></backup>" + PLAIN.replace(">1</voice>", f">v{n}</voice>").format("")
        for n in range(2000))), "checked"),
    Row("5,000 slurs that never end", score(
        first=PLAIN.format('<notations><slur type="start" number="1"/></notations>') * 5000), "checked"),
    Row("5,000 ties that never end", score(
        first=PLAIN.format('<tie type="start"/><notations><tied type="start"/></notations>') * 5000), "checked"),
    Row("5,000 hairpins that never end", score(
        first='<direction><direction-type><wedge type="crescendo"/></direction-type></direction>' * 5000), "checked"),
    Row("5,000 changes of key, clef, meter and transposition in a bar", score(
        first="<attributes><key><fifths>1</fifths></key><time><beats>3</beats><beat-type>8</beat-type></time><clef><sign>F</sign>"
              "<line>4</line></clef><transpose><chromatic>1</chromatic></transpose></attributes>" * 5000), "checked", long=True),
    Row("5,000 tempos in a bar", score(first='<sound tempo="90"/>' * 5000), "checked"),
    Row("5,000 words in a bar", score(
        first="<direction><direction-type><words>con sord. pizz. arco a 2</words></direction-type></direction>" * 5000),
        "checked"),
    Row("a note of 5,000 marks", score(
        note="<notations>" + "<articulations><staccato/></articulations>" * 5000 + "</notations>"), "checked"),
)  # fmt: skip
