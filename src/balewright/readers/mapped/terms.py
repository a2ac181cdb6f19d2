"""What other programs call the columns of a bale table, in five languages, and their words.

English, German, French, Polish and Dutch, as technicians say it. Words are compared in lower case
without accents, dots and joining signs, so one spelling of each is enough.
"""

from __future__ import annotations

import unicodedata
from types import MappingProxyType
from typing import Final

_HEADINGS: Final = {
    "machine": "machine; serial; serial number; machine serial; machine id; vin; baler; baler id; "
    "maschine; maschinennummer; maschinen nr; seriennummer; fahrgestellnummer; presse; numero de "
    "serie; no de serie; machine no; presse no; numer seryjny; nr seryjny; maszyna; nr maszyny; "
    "prasa; serienummer; machinenummer; pers; unit; equipment; chassis",
    "bale_no": "bale no; bale number; bale; bale id; bale nr; bale count; count; number; no; nr; "
    "lifetime bale; ballennummer; ballen nr; ballen; ballenzahler; lfd nr; nummer; zahler; numero "
    "de balle; no balle; balle; compteur; numer beli; nr beli; bela; licznik; lp; baalnummer; "
    "baal nr; baal; teller; bale counter; lifetime bales; total bales",
    "job": "job; task; order; field; field name; work order; auftrag; auftragsnummer; schlag; "
    "feld; chantier; parcelle; tache; commande; zlecenie; pole; dzialka; zadanie; opdracht; "
    "perceel; taak; order no",
    "operator": "operator; driver; fahrer; bediener; conducteur; chauffeur; operateur; kierowca; "
    "bestuurder",
    "closed_at": "start; start time; begin; chamber closed; bale start; beginn; startzeit; "
    "pressbeginn; presse start; press start; kammer geschlossen; debut; heure debut; start beli; "
    "poczatek; czas rozpoczecia; starttijd; begintijd; gate closed; press begin",
    "full_at": "chamber full; full; kammer voll; chambre pleine; komora pelna; kamer vol",
    "bind_start_at": "binding start; net start; tie start; wrap net start; binden beginn; bindung "
    "start; netz start; debut liage; start wiazania; begin binden",
    "bind_end_at": "binding end; net end; tie end; binden ende; bindung ende; netz ende; fin "
    "liage; koniec wiazania; einde binden",
    "gate_open_at": "gate open; tailgate open; door open; klappe auf; heckklappe auf; klappe "
    "offen; ouverture porte; otwarcie klapy; klep open; ejected; eject time; bale ejected",
    "on_wrapper_at": "on wrapper; bale on wrapper; transfer; auf wickler; ubergabe; transfert; na "
    "owijarce; op wikkelaar",
    "wrap_start_at": "wrap start; wrapping start; wrapping begin; wickelbeginn; wickeln start; "
    "wickler start; debut enrubannage; start owijania; begin wikkelen",
    "wrap_end_at": "wrap end; wrapping end; wickelende; wickeln ende; wickler ende; fin "
    "enrubannage; koniec owijania; einde wikkelen; wrapped at",
    "tipped_at": "tipped; tip time; time; date time; timestamp; datetime; dropped; drop time; "
    "date; end; end time; finished; zeit; zeitstempel; datum zeit; datum uhrzeit; ablage; "
    "ablagezeit; abgelegt; ende; endzeit; datum; uhrzeit; heure; date heure; horodatage; fin; "
    "heure fin; depose; czas; data; data czas; godzina; koniec; odlozenie; tijd; datum tijd; "
    "tijdstip; einde; afgelegd; eindtijd; utc time; gps time; epoch; unix time; local time",
    "binding": "binding; binding type; tie type; bindung; bindeart; bindungsart; bindematerial; "
    "liage; type liage; wiazanie; rodzaj wiazania; binding soort; binding type",
    "binding_turns": "net turns; net wraps; binding turns; net layers; net revs; netzlagen; "
    "netzumdrehungen; netzwicklungen; tours filet; tours de filet; warstwy siatki; owiniecia "
    "siatka; netlagen; netwikkelingen; netz lagen; binding layers",
    "binding_m": "net length; net used; net; binding length; netzlange; netzverbrauch; netz; "
    "longueur filet; filet; dlugosc siatki; siatka; netlengte; netverbruik",
    "gate_opening_mm": "gate opening; gate gap; door gap; klappenspalt; klappenweg; ouverture "
    "porte mm; otwarcie klapy mm; klepopening",
    "chamber_bar": "chamber pressure; bale pressure; density pressure; pressure; baling pressure; "
    "pressdruck; kammerdruck; druck; pression; pression chambre; pression balle; cisnienie; "
    "cisnienie prasowania; persdruk; kamerdruk; druk",
    "density_dial": "density; density setting; dichte; dichteeinstellung; densite; gestosc; "
    "zageszczenie; dichtheid; density set",
    "knife_bar": "knife pressure; messerdruck; pression couteaux; cisnienie nozy; mesdruk",
    "knives_in": "knives; knives in; knife count; messer; messeranzahl; anzahl messer; couteaux; "
    "nombre couteaux; noze; liczba nozy; messen; aantal messen",
    "wrap_turns": "wraps; wrap turns; wrap count; wrapper turns; table turns; wrap revolutions; "
    "wraps set; revolutions; wicklungen; wickelumdrehungen; umdrehungen; folienumdrehungen; tours; "
    "tours enrubannage; nombre de tours; owiniecia; obroty; liczba owiniec; liczba obrotow; "
    "wikkelingen; omwentelingen; wikkelingen aantal; wickler umdrehungen",
    "wrap_rpm": "wrap speed; wrapping speed; wrapper speed; wickeldrehzahl; "
    "wickelgeschwindigkeit; vitesse enrubannage; predkosc owijania; wikkelsnelheid",
    "said_layers": "layers; film layers; folienlagen; lagen; lagenzahl; couches; nombre de "
    "couches; warstwy; warstwy folii; lagen folie; folielagen",
    "said_overlap_frac": "overlap; film overlap; uberlappung; recouvrement; zakladka; overlapping",
    "said_stretch_frac": "stretch; pre stretch; prestretch; film stretch; vorstreckung; "
    "vorspannung; dehnung; etirage; pre etirage; rozciag; naciag; voorrek; rek",
    "film_width_m": "film width; folienbreite; largeur film; szerokosc folii; foliebreedte",
    "film1_m": "film 1; film left; film length 1; folie 1; folie links; film gauche; film no 1; "
    "folia 1; folia lewa; film dispenser 1; folie li",
    "film2_m": "film 2; film right; film length 2; folie 2; folie rechts; film droite; film no 2; "
    "folia 2; folia prawa; film dispenser 2; folie re",
    "film_m": "film; film length; film used; film total; plastic; plastic used; wrap used; "
    "folienlange; folienverbrauch; folie; folie gesamt; longueur film; film utilise; consommation "
    "film; dlugosc folii; folia; zuzycie folii; folielengte; folieverbruik",
    "film_breaks": "film breaks; film tears; breaks; folienrisse; folienriss; ruptures film; "
    "rupture film; zerwania folii; foliebreuk; filmrisse",
    "rolls_on": "rolls; film rolls; rollen; folienrollen; bobines; rolki; folierollen",
    "binding_tries": "net tries; binding tries; bindeversuche; essais liage; proby wiazania",
    "overloads": "overloads; overload trips; clutch trips; uberlastungen; surcharges; "
    "przeciazenia; overbelastingen",
    "diameter_m": "diameter; bale diameter; bale size; size; durchmesser; ballendurchmesser; "
    "diametre; diametre balle; srednica; srednica beli; diameter baal; baaldiameter",
    "diameter_left_m": "diameter left; durchmesser links; diametre gauche; srednica lewa; "
    "diameter links; diameter l",
    "diameter_right_m": "diameter right; durchmesser rechts; diametre droite; srednica prawa; "
    "diameter rechts; diameter r",
    "mass_kg": "weight; mass; bale weight; bale mass; wt; gewicht; ballengewicht; masse; poids; "
    "poids balle; waga; masa; waga beli; masa beli; ciezar; baalgewicht; gross weight; net weight",
    "moisture_frac": "moisture; bale moisture; moisture avg; average moisture; mean moisture; "
    "humidity; feuchte; feuchtigkeit; wassergehalt; feuchte mittel; mittlere feuchte; humidite; "
    "humidite moyenne; taux humidite; wilgotnosc; wilgotnosc srednia; vocht; vochtgehalte; "
    "moist; dry matter; dm; ts; trockensubstanz; trockenmasse; tm; matiere seche; ms; sucha masa; "
    "droge stof; ds; h2o",
    "moisture_max_frac": "moisture max; max moisture; highest moisture; feuchte max; maximale "
    "feuchte; humidite max; wilgotnosc max; wilgotnosc maks; vocht max; peak moisture",
    "additive_l": "additive; preservative; additive used; acid; applied; siliermittel; "
    "zusatzmittel; saure; additif; conservateur; dodatek; konserwant; additief; inoculant",
    "mode": "mode; wrap mode; modus; betriebsart; wickelmodus; tryb; mode enrubannage",
    "status": "status; state; bale status; zustand; statut; etat; stan; toestand",
    "tip_side": "tip side; tipped on; ablageseite; depose sur; strona odlozenia",
    "crop": "crop; crop type; material; frucht; fruchtart; erntegut; kultur; culture; produit; "
    "recolte; uprawa; plon; material zbierany; gewas; product",
    "speed_m_s": "speed; ground speed; forward speed; travel speed; geschwindigkeit; "
    "fahrgeschwindigkeit; vitesse; vitesse avancement; predkosc; predkosc jazdy; snelheid; "
    "rijsnelheid",
    "pto_rpm": "pto speed; pto; pto rpm; zapfwelle; zapfwellendrehzahl; prise de force; pdf; wom; "
    "obroty wom; aftakas; toerental aftakas",
    "pto_torque_nm": "pto torque; torque; drehmoment; couple; couple pdf; moment; moment wom; "
    "koppel",
    "supply_min_v": "supply voltage; voltage; min voltage; battery; spannung; bordspannung; "
    "tension; napiecie; spanning",
    "oil_c": "oil temperature; oil temp; oltemperatur; temperature huile; temperatura oleju; "
    "olietemperatuur",
    "air_c": "air temperature; air temp; ambient temperature; temperature; temp; "
    "lufttemperatur; aussentemperatur; temperatur; temperature air; temperatura; temperatura "
    "powietrza; buitentemperatuur; temperatuur",
    "lat": "lat; latitude; breite; breitengrad; gps lat; szerokosc; szerokosc geograficzna; "
    "breedtegraad; geo lat; position lat",
    "lon": "lon; long; lng; longitude; lange; langengrad; gps lon; gps long; dlugosc; dlugosc "
    "geograficzna; lengtegraad; geo lon; position lon",
    "codes": "codes; fault codes; error codes; dtc; fehlercodes; fehler; codes defaut; defauts; "
    "kody bledow; foutcodes",
    "zone": "time zone; timezone; zone; tz; utc offset; zeitzone; fuseau horaire; fuseau; strefa "
    "czasowa; strefa; tijdzone",
}
_DATES: Final = "date; day; datum; tag; jour; data; dzien; dag; bale date; date of baling"
_CLOCKS: Final = (
    "time; clock; time of day; uhrzeit; zeit; heure; czas; godzina; tijd; uur; local time"
)
_DRY_MATTER: Final = (
    "dry matter; dm; ts; trockensubstanz; trockenmasse; tm; matiere seche; ms; sucha masa; droge "
    "stof; ds"
)
_CHOICES: Final = {
    ("binding", "net"): "net; netz; filet; siatka; net wrap; netting; netwrap; n",
    ("binding", "film"): "film; folie; folia; plastic; film on film; mantelfolie; mantel film",
    ("binding", "twine"): "twine; garn; ficelle; sznurek; touw; string; bindegarn",
    ("binding", "none"): "none; keine; ohne; aucun; brak; geen; no",
    ("mode", "automatic"): "automatic; auto; automatik; automatisch; automatique; automatyczny; a",
    ("mode", "by hand"): "by hand; manual; hand; manuell; von hand; manuel; reczny; handmatig; m",
    ("mode", "wrapper off"): "wrapper off; off; aus; bale only; nur pressen; arret; wylaczony; uit",
    ("status", "ok"): "ok; good; i o; in ordnung; gut; bon; dobra; dobry; goed; io; normal; 1",
    ("status", "burst"): "burst; broken; geplatzt; defekt; eclatee; peknieta; uszkodzona; kapot",
    ("status", "re-wrapped"): "re wrapped; rewrapped; nachgewickelt; neu gewickelt; reenrubannee; "
    "ponownie owinieta; opnieuw gewikkeld",
    ("status", "test"): "test; probe; probeballen; essai; proba; testowa; proef",
    ("tip_side", "round"): "round; round side; rundseite; mantel; cote rond; bok; ronde kant",
    ("tip_side", "end"): "end; flat; on end; stirnseite; stirn; face plane; na sztorc; kop",
}
_TOTALS_SAID: Final = (
    "total; totals; sum; grand total; subtotal; average; mean; summe; gesamt; gesamtsumme; "
    "zwischensumme; mittelwert; durchschnitt; mittel; total general; totaux; sous-total; moyenne; "
    "somme; razem; suma; łącznie; ogółem; średnia; średnio; totaal; som; gemiddelde; subtotaal; "
    "min; max; minimum; maximum"
)


def folded(text: str) -> str:
    """Lower case without accents, signs and double blanks: how words are compared."""
    plain = text.lower().replace("ß", "ss").replace("ł", "l").replace("ø", "o").replace("æ", "ae")
    plain = "".join(
        sign for sign in unicodedata.normalize("NFKD", plain) if not unicodedata.combining(sign)
    )
    return " ".join("".join(sign if sign.isalnum() else " " for sign in plain).split())


def _words(text: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(folded(word) for word in text.split(";")))


HEADINGS: Final = MappingProxyType({name: _words(text) for name, text in _HEADINGS.items()})
"""Target -> what its column may be called, folded."""
DATE_WORDS: Final = frozenset(_words(_DATES))
CLOCK_WORDS: Final = frozenset(_words(_CLOCKS))
DRY_MATTER_WORDS: Final = frozenset(_words(_DRY_MATTER))
CHOICES: Final = MappingProxyType({pair: _words(text) for pair, text in _CHOICES.items()})
"""(target, our choice) -> their words for it, folded."""
TOTALS: Final = frozenset(
    form
    for word in _TOTALS_SAID.split("; ")
    for plain in (word, word.upper(), word.capitalize(), word.title())
    for form in (plain, f"{plain}:")
)
"""How a row says in its first cells that it is a sum or a mean, as it is written."""
UNKNOWN_WORDS: Final = (
    *("", "-", "--", "---", "–", "n/a", "na", "nan", "null", "none", "?", "#n/a", "#nv", "k.a.",
      "n.v.", "n.b.", "nd", "n.d.", "brak", "b.d.", "nb", "n.a.", "unknown", "unbekannt",
      "inconnu"),
)  # fmt: skip
"""Words that commonly mean "not known"; only those that a table has are put in its map."""
