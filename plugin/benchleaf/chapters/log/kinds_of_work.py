"""What kind of work a line of the log tells of, by its words; and the hours of each kind."""

from __future__ import annotations

import re
from collections.abc import Iterable

from .findings import HoursOfKind, Sitting

OTHER = "other work"
_KINDS = {
    "fault finding": (
        r"fault trac(?:ed|ing) trouble hunt\w* searching intermittent fehlersuche fehler_gesucht foutzoeken "
        r"fout_gezocht recherche_de_pannes? dépannage fejlfinding fejlsøgning"
    ),
    "alignment": (
        r"align\w* re-?align\w* trimmers? tracking padder abgleich\w* abgeglichen afregel\w* afgeregeld "
        r"trimmen alignement aligné\w* réglages? afstem\w* afstemt"
    ),
    "power-up": (
        r"power(?:ed)?[-_]?up first_power slow_power brought_up variac einschalten eingeschaltet "
        r"inbetriebnahme hochgefahren ingeschakeld opgestart mise_sous_tension trennt?rafo scheidingstrafo"
    ),
    "readings": (
        r"readings? measur\w* voltages? volts touch_current insulation ohmmeter messung\w* gemessen spannungen "
        r"metingen gemeten spanningen mesures? mesuré\w* tensions måling\w* målt"
    ),
    "reforming": r"reform\w* formier\w* elkos?_formiert geformeerd reformeren",
    "line side": (
        r"line_side mains_side (?:line_|mains_|power_)?(?:cord|lead) plug isolation fuse netzkabel netzschnur "
        r"netsnoer snoer stekker stecker sicherung zekering cordon fusible ledning netledning sikring"
    ),
    "parts": (
        r"re-?capp?\w* capacitors? condensers? resistors? replac\w* restuff\w* solder\w* rewir\w* shunts? "
        r"dropper transformer rectifier caps? electrolytics? fitted installed filter kondensator\w* "
        r"widerst[aä]nd\w* elkos? ersetzt getauscht eingebaut condensator\w* weerstand\w* vervangen "
        r"condensateurs? résistances? remplac\w* chimiques? kondensatorer modstande? udskiftet skiftet"
    ),
    "tubes": r"tubes? valves? röhren? röhrenprüf\w* buizen buis rør",
    "cabinet": (
        r"cabinet veneer lacquer\w* varnish\w* polish\w* grille cloth knobs? dial glass handle bakelite "
        r"paint\w* finishing sewn cord_drive drive_cord gehäuse lack\w* politur skala kast gelakt ébénisterie "
        r"vernis coffret kabinet poleret lakeret"
    ),
    "cleaning": (
        r"clean\w* dust\w* wash\w* de-?oxit contacts? gereinigt reinigung gesäubert staub schoongemaakt "
        r"gereinigd stof nettoy\w* rengjort rengøring"
    ),
    "looking over": (
        r"look\w*_(?:it_)?over looked_at inspect\w* photograph\w* pictures? cold_checks? examin\w* dismantl\w* "
        r"took_(?:it_)?apart stripped check(?:s|ed|ing)? test(?:s|ed|ing)? begutachtet durchgesehen angesehen "
        r"geprüft bekeken nagekeken gecontroleerd examiné\w* contrôl\w* gennemgang besigtiget"
    ),
    "soak test": r"soak\w* burn\w*_in dauerlauf dauertest duurtest duurproef",
    "playing": (r"play\w* listen\w* ran running spielt gespielt probelauf gespeeld speelt écout\w* spillet spiller"),
    "closing up": (
        r"closed?_up closing_up re-?assembl\w* put_back boxed zusammengebaut zusammenbau gemonteerd in_elkaar "
        r"remonté\w* samlet"
    ),
    "papers and parts to get": (
        r"order\w* wrote writ\w* drew draw\w* schematic research\w* sheet drove fetched bestell\w* schaltplan "
        r"schema gekauft gekocht commandé\w* acheté\w* schéma bestilt købt hentet abgeholt"
    ),
}
"""Each kind with its words, ``_`` for a blank (common practice, no source); the first kind has a word of two."""
_WORDS = tuple(
    (kind, re.compile(rf"\b(?:{'|'.join(words.split()).replace('_', ' ')})(?!\w)", re.I))
    for kind, words in _KINDS.items()
)


def kind_of(did: str) -> str:
    """The kind of work that a line names first; ``other work`` where no word tells it."""
    found = ((match.start(), place, kind) for place, (kind, words) in enumerate(_WORDS) if (match := words.search(did)))
    return min(found, default=(0, 0, OTHER))[2]


def hours_by_kind(sittings: Iterable[Sitting]) -> tuple[HoursOfKind, ...]:
    """The hours of each kind of the sittings that tell of work, most first; one without a time counts as such only."""
    of_kind: dict[str, list[Sitting]] = {}
    for sitting in sittings:
        of_kind.setdefault(sitting.kind, []).append(sitting)
    told = (
        HoursOfKind(kind, sum(one.seconds or 0.0 for one in of), len(of), sum(one.seconds is None for one in of))
        for kind, of in of_kind.items()
    )
    return tuple(sorted(told, key=lambda one: (one.kind == OTHER, -one.seconds, -one.sittings, one.kind)))
