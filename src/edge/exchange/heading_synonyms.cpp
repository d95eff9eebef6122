#include "edge/exchange/heading_synonyms.hpp"

#include <array>

#include "edge/exchange/cell_text.hpp"

namespace strandbook {
namespace {

using enum Field;

/// Keys of one meaning, parted by blanks.
struct Meaning {
  Field field;
  std::uint8_t rank;
  std::string_view keys;
};

constexpr auto meanings = std::to_array<Meaning>({
    {link, 0,
     "link linkid linkname linkno circuit circuitid trunk route span strecke verbindung"
     " liaison lien enlace"},
    {strand, 0,
     "strand strandid strandno strandnumber strandname core coreid coreno corenumber fibreno"
     " fiberno fibreid fiberid fibrenumber fibernumber fibrename fibername strang strangnr"
     " faser fasernr fasernummer ader adernr brin nofibre numerofibre hilo nofibra"
     " numerodefibra"},
    {strand_count, 0,
     "strands strandcount noofstrands numberofstrands fibres fibers cores corecount fibrecount"
     " fibercount nooffibres nooffibers numberoffibres numberoffibers noofcores fasern"
     " faserzahl nombredefibres numerodefibras"},
    {cable, 0, "cable cableid cablename cableno kabel kabelnr kabelid cablenumber nocable"},
    {identifier, 1, "lane"},
    {identifier, 2, "id ident"},
    {identifier, 3, "label"},
    {identifier, 4, "name bezeichnung kennung nom nombre etiqueta repere"},
    {identifier, 5, "port"},
    {identifier, 6, "position"},
    {identifier, 7, "no nr number nummer numero num"},
    {fibre, 0,
     "fibre fiber fibretype fibertype fibrecategory fibercategory category fasertyp faserart"
     " kategorie typedefibre fibra tipodefibra glass cabletype"},
    {plant, 0, "plant environment installation laid"},
    {length, 0,
     "length lengthmeter lengthmetre len fibrelength fiberlength cablelength linklength"
     " distance lange laenge kabellange faserlange streckenlange longueur longitud distancia"
     " entfernung"},
    {connections, 0,
     "connections connection connectors matedpairs matings connectionsinpath noofconnections"
     " numberofconnections connectorpairs pairs stecker steckverbindungen steckerpaare"
     " connexions connecteurs conexiones conectores"},
    {splices, 0, "splices splice noofsplices numberofsplices spleisse spleis epissures empalmes fusions"},
    {end_a, 0, "enda aend end1 sitea panela locationa neara endea seitea extremitea extremoa"},
    {end_b, 0, "endb bend end2 siteb panelb locationb endeb seiteb extremiteb extremob"},
    {building, 0, "building bldg gebaude gebaeude batiment edificio"},
    {rule, 0, "rule ruleset standard regel norm norme norma"},
    {limit, 0, "limit losslimit maxloss limitloss grenzwert limite allowedloss permittedloss"},
    {method, 0, "referencemethod method methode metodo refmethod referencing testmethod messverfahren"},
    {cord_grade, 0, "cordgrade testcordgrade plugrade connectorgrade"},
    {configuration, 0, "configuration whatwasmeasured linkorchannel konfiguration config testconfiguration"},
    {wavelength, 0,
     "wavelength wavelengths wave lambda wl wavelen window wellenlange wellenlaenge"
     " wellenlangen longueurdonde longueursdonde longituddeonda longitudesdeonda"
     " sourcewavelength testwavelength sourcelambda"},
    {meter_setting, 0, "metersetting meterwavelength meterset meterlambda wavelengthsetting setting"},
    {direction, 0,
     "direction directions dir richtung richtungen messrichtung sens direccion sentido way"
     " testdirection"},
    {from, 0,
     "from fromend near nearend nearport lightin lightsentinto von de desde testedfrom sourceend launchend"},
    {to, 0,
     "to toend far farend farport lightseenat lightout lightoutat seenat nach bis vers hacia meterend "
     "receiveend"},
    {power, 0,
     "power level rx rxpower received receivedpower receivepower opticalpower measuredpower"
     " rxlevel p pegel leistung empfangspegel puissance niveau potencia nivel meterreading"},
    {loss, 0,
     "loss il insertionloss attenuation atten att linkloss dampfung daempfung einfugedampfung"
     " einfuegedaempfung verlust affaiblissement perte pertes atenuacion perdida perdidas"
     " measuredloss"},
    {reference, 0, "reference ref refid referenceid referenceno referenz referencia referenzid"},
    {time, 0,
     "time timestamp testtime datetime dateandtime timeoftest zeit uhrzeit zeitpunkt heure"
     " hora measuredat testedat when timeutc"},
    {date, 0,
     "date testdate testedon measuredon tested day dateoftest datum messdatum prufdatum tag"
     " fecha jour dateutc"},
    {source, 0,
     "source sourceid lightsource sourceserial sourceno quelle lichtquelle fuente"
     " sourcelumineuse"},
    {meter, 0,
     "meter meterid powermeter meterserial meterno messgerat messgeraet pegelmesser mesureur"
     " medidor"},
    {cords, 0, "cords cord testcords testcord jumpers messkabel cordons cordset latiguillos"},
    {operator_name, 0,
     "operator technician tech tester testedby measuredby by crew prufer techniker bediener"
     " operateur technicien operador tecnico"},
    {uncertainty, 0,
     "uncertainty u uk2 uncertaintyk2 uncert standarduncertainty unsicherheit messunsicherheit incertitude"
     " incertidumbre"},
    {instrument, 0,
     "instrument instrumentid instrumentserial serial serialno serialnumber sn device gerat geraet geratenr"
     " geraetenr seriennummer appareil numerodeserie equipo instrumento"},
    {certificate, 0,
     "certificate certificateno certificatenumber certno zertifikat kalibrierschein kalibrierscheinnr"
     " certificat certificado"},
    {calibrated_on, 0,
     "calibratedon calibrated calibrationdate dateofcalibration caldate lastcalibration lastcalibrated"
     " kalibriertam kalibrierdatum kalibriert etalonnele etalonnage calibradoel"},
    {valid_through, 0,
     "validthrough validuntil validto expires expiry expirydate expireson duedate calibrationdue caldue"
     " nextcalibration gultigbis gueltigbis nachstekalibrierung naechstekalibrierung valablejusquau"
     " validohasta"},
    {valid_days, 0, "validdays validfordays validitydays intervaldays gultigtage gueltigtage"},
    {kind, 0, "kind rowkind readingkind type art recordtype"},
    {value, 0,
     "result results value reading measured measurement wert messwert valeur mesure valor"
     " medida ergebnis"},
    {launch_power, 0, "tx txpower transmitted launchpower transmitpower txlevel sendepegel"},
});

// Words that forbid come first: "loss margin" is a margin, "splice loss" no link's loss.
constexpr auto telling_words = std::to_array<Meaning>({
    {not_used, 0,
     "margin headroom reserve marge margen budget alarm warn warning threshold min max low"
     " high reflectance return orl rl expected design calculated change increase drift"
     " sensitivity otdr trace event splice connector pdl delta difference limit grenzwert"
     " reference ref ruckfluss reserva coefficient per coverage"},
    {uncertainty, 0, "uncertainty unsicherheit incertitude incertidumbre"},
    {launch_power, 0, "tx launch transmit"},
    {loss, 0,
     "loss il attenuation dampfung daempfung einfugedampfung affaiblissement perte atenuacion"
     " perdida"},
    {power, 0, "power rx received level pegel leistung puissance potencia"},
    {length, 0, "length lange laenge longueur"},
});

}  // namespace

std::optional<Synonym> synonym_of(std::string_view key) {
  for (const Meaning& meaning : meanings)
    if (lists_word(meaning.keys, key)) return Synonym{meaning.field, meaning.rank};
  return std::nullopt;
}

Field field_of_word(std::string_view word) {
  for (const Meaning& meaning : telling_words)
    if (lists_word(meaning.keys, word)) return meaning.field;
  return Field::unknown;
}

}  // namespace strandbook
