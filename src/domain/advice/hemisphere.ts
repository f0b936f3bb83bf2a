// Zones south of the equator by area, read from the coordinates of the tz database (zone.tab, public
// domain; published) with the older names that its "backward" file keeps for them.
const SOUTHERN: Readonly<Record<string, string>> = {
  Africa: `
    Blantyre Brazzaville Bujumbura Dar_es_Salaam Gaborone Harare Johannesburg Kigali
    Kinshasa Luanda Lubumbashi Lusaka Maputo Maseru Mbabane Nairobi Windhoek`,
  America: `
    Araguaina Argentina/Buenos_Aires Argentina/Catamarca Argentina/ComodRivadavia
    Argentina/Cordoba Argentina/Jujuy Argentina/La_Rioja Argentina/Mendoza
    Argentina/Rio_Gallegos Argentina/Salta Argentina/San_Juan Argentina/San_Luis
    Argentina/Tucuman Argentina/Ushuaia Asuncion Bahia Belem Buenos_Aires Campo_Grande Catamarca
    Cordoba Coyhaique Cuiaba Eirunepe Fortaleza Guayaquil Jujuy La_Paz Lima Maceio Manaus
    Mendoza Montevideo Noronha Porto_Acre Porto_Velho Punta_Arenas Recife Rio_Branco Rosario
    Santarem Santiago Sao_Paulo`,
  Antarctica: `
    Casey Davis DumontDUrville Macquarie Mawson McMurdo Palmer Rothera South_Pole Syowa Troll
    Vostok`,
  Asia: `
    Dili Jakarta Jayapura Makassar Pontianak Ujung_Pandang`,
  Atlantic: `
    South_Georgia St_Helena Stanley`,
  Australia: `
    ACT Adelaide Brisbane Broken_Hill Canberra Currie Darwin Eucla Hobart LHI Lindeman Lord_Howe
    Melbourne NSW North Perth Queensland South Sydney Tasmania Victoria West Yancowinna`,
  Brazil: `
    Acre DeNoronha East West`,
  Chile: `
    Continental EasterIsland`,
  Indian: `
    Antananarivo Chagos Christmas Cocos Comoro Kerguelen Mahe Mauritius Mayotte Reunion`,
  '': `NZ NZ-CHAT`,
  Pacific: `
    Apia Auckland Bougainville Chatham Easter Efate Enderbury Fakaofo Fiji Funafuti Galapagos
    Gambier Guadalcanal Kanton Marquesas Nauru Niue Norfolk Noumea Pago_Pago Pitcairn
    Port_Moresby Rarotonga Samoa Tahiti Tongatapu Wallis`,
  US: `
    Samoa`,
};

const SOUTHERN_ZONES = new Set(
  Object.entries(SOUTHERN).flatMap(([area, places]) =>
    places
      .trim()
      .split(/\s+/)
      .map((place) => (area === '' ? place : `${area}/${place}`)),
  ),
);

/**
 * The half of the earth that an IANA zone lies on, so that the seasons are the right way round.
 * What is not known to be southern counts as northern.
 */
export function hemisphereOf(zone: string): 'north' | 'south' {
  return SOUTHERN_ZONES.has(zone) ? 'south' : 'north';
}
