"""The few words of our own that stand beside a pattern on a screen, in the languages that we speak."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Phrases:
    """What a page says of itself. `{}` is filled in: a number, a name or a heading."""

    skip: str = "Skip to the pattern"
    contents: str = "Contents"
    title_page: str = "Title page"
    beginning: str = "Beginning"
    table: str = "Table: {}"
    another_table: str = "{}, table {}"
    drawing: str = "Drawing {}: {}"
    yours: str = "Yours"
    your_size: str = "Your size"
    change: str = "change"
    size: str = "Size {}"
    choose: str = "Choose your size here: its numbers then stand out all through the pattern."
    all_alike: str = "Show all sizes alike"
    not_yours: str = "not your size"
    only: str = "Sizes {} only:"  # as the document itself says it; the names with the words between them
    one_only: str = "Size {} only:"
    until: str = "to"
    together: str = "and"
    rounds: str = "Rounds to tick: {}"
    round: str = "round {}"
    room: str = "room to write"
    lines: str = "lines to write on"
    kept: str = "Your ticks and your size are kept in this browser and sent nowhere."
    clear: str = "Clear all ticks"
    by: str = "By {}"
    version: str = "version {}"
    accessible: str = "Text in reading order with headings, lists and tables that name their rows and columns."
    described: str = "All drawings are described in words."
    still: str = "Boxes to tick are characters of the text. Nothing moves, sounds or flashes."


ENGLISH = Phrases()
PHRASES = {
    "en": ENGLISH,
    "de": Phrases(
        skip="Zur Anleitung springen",
        contents="Inhalt",
        title_page="Titelseite",
        beginning="Anfang",
        table="Tabelle: {}",
        another_table="{}, Tabelle {}",
        drawing="Zeichnung {}: {}",
        yours="Ihre",
        your_size="Ihre Größe",
        change="ändern",
        size="Größe {}",
        choose="Hier die eigene Größe wählen: Ihre Zahlen sind dann in der ganzen Anleitung hervorgehoben.",
        all_alike="Alle Größen gleich zeigen",
        not_yours="nicht Ihre Größe",
        only="Nur Größen {}:",
        one_only="Nur Größe {}:",
        until="bis",
        together="und",
        rounds="Runden zum Abhaken: {}",
        round="Runde {}",
        room="Platz zum Schreiben",
        lines="Linien zum Schreiben",
        kept="Ihre Haken und Ihre Größe bleiben in diesem Browser und werden nirgendwohin gesendet.",
        clear="Alle Haken löschen",
        by="Von {}",
        version="Version {}",
        accessible="Text in Lesereihenfolge mit Überschriften, Listen und Tabellen, die Zeilen und Spalten benennen.",
        described="Alle Zeichnungen sind in Worten beschrieben.",
        still="Kästchen zum Abhaken sind Zeichen im Text. Nichts bewegt sich, klingt oder blinkt.",
    ),
    "fr": Phrases(
        skip="Aller au modèle",
        contents="Sommaire",
        title_page="Page de titre",
        beginning="Début",
        table="Tableau\u00a0: {}",
        another_table="{}, tableau {}",
        drawing="Dessin {}\u00a0: {}",
        yours="La vôtre",
        your_size="Votre taille",
        change="changer",
        size="Taille {}",
        choose="Choisissez ici votre taille\u00a0: ses nombres ressortent alors dans tout le modèle.",
        all_alike="Montrer toutes les tailles de la même façon",
        not_yours="pas votre taille",
        only="Tailles {} seulement :",
        one_only="Taille {} seulement :",
        until="à",
        together="et",
        rounds="Tours à cocher\u00a0: {}",
        round="tour {}",
        room="place pour écrire",
        lines="lignes pour écrire",
        kept="Vos coches et votre taille restent dans ce navigateur et ne sont envoyées nulle part.",
        clear="Effacer toutes les coches",
        by="Création\u00a0: {}",
        version="version {}",
        accessible="Texte dans l’ordre de lecture, avec titres, listes et tableaux aux lignes et colonnes nommées.",
        described="Tous les dessins sont décrits par des mots.",
        still="Les cases à cocher sont des caractères du texte. Rien ne bouge, ne sonne ni ne clignote.",
    ),
}


def phrases(language: str) -> Phrases:
    """Those of a language by its tag, such as de or en-GB; English where we don't speak it."""
    return PHRASES.get(language.split("-")[0].lower(), ENGLISH)
