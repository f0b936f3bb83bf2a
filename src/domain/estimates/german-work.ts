import type { FaultWork } from '../faults/work-rows.ts';
import type { Part } from '../parts/kits.ts';

/** What was found and what is done about it, as an owner reads it. */
export interface WorkWords {
  readonly name: string;
  readonly work: string;
}

/** The work on every fault in German; the English stands with the faults themselves. */
export const GERMAN_WORK: Readonly<Record<FaultWork['fault'], WorkWords>> = {
  'salt-crust': {
    name: 'Salz an den Auflagekanten',
    work: 'abspülen und trocknen, bevor das Verdeck zum ersten Mal gefaltet wird',
  },
  'drains-blocked': {
    name: 'Verstopfte Abläufe',
    work: 'mit einer weichen Kunststoffschnur mit stumpfem Ende freimachen, spülen und prüfen, ob das Wasser abläuft',
  },
  'tailgate-seal-missing': {
    name: 'Dichtung der Heckklappe fehlt',
    work: 'eine neue Dichtung, die Abläufe der Klappe geöffnet, der Rost behandelt',
  },
  'lining-water-line': {
    name: 'Wasser am Innenhimmel',
    work: 'trocknen, die undichte Stelle finden und schließen',
  },
  mould: { name: 'Schimmel', work: 'trocknen, reinigen, lüften und imprägnieren' },
  'pivot-sheared': {
    name: 'Gebrochener Bolzen oder Halter',
    work: 'bündig schleifen, ausbohren, Schraube mit Kunststoffscheibe und Sicherungsmutter; ein neuer Halter, wenn er gebrochen ist',
  },
  'pivot-seized': {
    name: 'Festgerostetes Gelenk',
    work: 'den Bolzen ausbohren oder auspressen; ein neuer Bolzen oder ein Schraubsatz',
  },
  'pivot-stiff': {
    name: 'Schwergängiges Gelenk',
    work: 'Rostlöser, gangbar machen, spülen, ölen und nach einigen Wochen nachsehen',
  },
  'washers-missing': {
    name: 'Unterlegscheiben fehlen',
    work: 'eine neue Unterlegscheibe an diesem Gelenk bei gezogenem Bolzen, oder eine geteilte Scheibe',
  },
  'hole-oval': {
    name: 'Ausgeschlagene Bohrung',
    work: 'eine Buchse, oder zuschweißen und rund neu bohren; danach ein Schraubsatz',
  },
  'frame-shakes': {
    name: 'Das Gestell wackelt',
    work: 'zuerst die Unterlegscheiben, dann die Bohrungen',
  },
  'frame-racks': {
    name: 'Eine Seite hinkt nach',
    work: 'finden und gangbar machen, was diese Seite zurückhält, bis beide Seiten gemeinsam ankommen',
  },
  'pivot-arm-bent': { name: 'Verbogener Gelenkarm', work: 'den Arm mit Vorsicht richten' },
  'frame-twisted': {
    name: 'Verzogenes Gestell',
    work: 'den Arm richten oder erneuern, die Lenker einstellen, und erst danach einen Bezug aufziehen',
  },
  'pivot-dry': { name: 'Trockenes Gelenk', work: 'reinigen, wenig leichtes Öl, abwischen' },
  'power-supply-cut': {
    name: 'Kein Strom am Motor',
    work: 'eine Sicherung derselben Stärke, Relais, Schalter oder Kabel, oder eine volle Batterie; vorher wird gesucht, was die Sicherung ausgelöst hat',
  },
  'pump-motor-dead': {
    name: 'Motor der Pumpe ausgefallen',
    work: 'zuerst die Masse reinigen; dann ein neuer Motor oder eine neue Pumpe, und freie Abläufe, wenn sie im Wasser stand',
  },
  'ram-side-loaded': {
    name: 'Seitenlast am Gelenk des Zylinders',
    work: 'den Halter unterlegen oder neu bohren',
  },
  'fluid-leaking': {
    name: 'Undichte Hydraulik',
    work: 'eine neue Dichtung, ein neuer Schlauch oder Zylinder an dieser Stelle; die Flüssigkeit, die der Hersteller nennt, entlüftet und im Stand nachgeprüft',
  },
  'ram-weak': {
    name: 'Schwacher Hydraulikzylinder',
    work: 'den Zylinder abdichten oder erneuern und den der anderen Seite ansehen; entlüften und den Stand prüfen',
  },
  'hydraulics-slow': {
    name: 'Träge Hydraulik',
    work: 'die undichte Stelle finden, die richtige Flüssigkeit, entlüften, den Stand nachprüfen',
  },
  'lid-not-releasing': {
    name: 'Deckel öffnet nicht',
    work: 'zuerst verstauen, was darunter vorsteht; dann Schloss, Zug und Schließblech gangbar machen und einstellen',
  },
  'position-switch-out': {
    name: 'Schalter oder Sensor der Stellung ausgefallen',
    work: 'einstellen, reinigen oder mit seinem Stecker erneuern und einen ganzen Durchlauf prüfen',
  },
  'bypass-open': {
    name: 'Umgehungsventil nach dem Falten von Hand offen',
    work: 'schließen und einen ganzen Durchlauf prüfen',
  },
  'header-rusted': {
    name: 'Rost am Dachrahmen',
    work: 'das Blech instand setzen, bevor ein Bezug daraufkommt',
  },
  'window-frame-rusted': {
    name: 'Rost am Rahmen der Heckscheibe',
    work: 'ein neuer Rahmen aus einem Stück, wo der Flansch die Dichtung nicht mehr trägt',
  },
  'rear-channel-rusted': {
    name: 'Rost im hinteren Seilkanal',
    work: 'leichter Rost: reinigen, behandeln und lackieren; starker: Blecharbeit vor dem neuen Bezug',
  },
  'hold-down-tab-rotted': {
    name: 'Durchgerostete Haltelasche',
    work: 'eine neue Lasche, die Bohrung instand gesetzt, eine neue Schraube mit ihrer Abdeckung',
  },
  'former-bodge': {
    name: 'Frühere Notreparatur',
    work: 'ganz zerlegen; Sie hören, was darunter gefunden wird',
  },
  'bows-out-of-place': {
    name: 'Spriegel nicht an ihrem Platz',
    work: 'neue Polster oder Bänder, und die Spriegel neu gesetzt',
  },
  'retaining-strap-snapped': {
    name: 'Gerissenes Halteband',
    work: 'ein neues Band, solange der Bezug ab ist',
  },
  'elastic-strap-weak': { name: 'Müdes Gummiband', work: 'ein neues Gummiband' },
  'padding-decayed': {
    name: 'Zerfallene Polsterung',
    work: 'neue Polsterung mit Zwischenlage, wenn der Bezug erneuert wird',
  },
  'sponge-as-padding': {
    name: 'Schaumstoff statt Polsterung',
    work: 'ausbauen, trocknen, den Schimmel behandeln und die richtige Polsterung einsetzen',
  },
  'lining-pocket-worn': {
    name: 'Verschlissene Tasche im Innenhimmel',
    work: 'fester Stoff: neu kleben; dünner Stoff: ein neuer Innenhimmel, am besten bei freiem Gestell',
  },
  'lining-cut': { name: 'Hängender oder eingeschnittener Innenhimmel', work: 'erneuern' },
  'lining-stretched': {
    name: 'Verschmutzter oder ausgeleierter Innenhimmel',
    work: 'reinigen; dazu raten wir zum neuen Bezug',
  },
  'cover-shrunk': { name: 'Geschrumpfter Bezug', work: 'ein neuer Bezug' },
  'coating-porous': {
    name: 'Undichte Beschichtung',
    work: 'Stoff mit heiler Mittellage: reinigen und imprägnieren; Vinyl oder gebrochene Mittellage: ein neuer Bezug',
  },
  'vinyl-hard': {
    name: 'Hartes Vinyl',
    work: 'die Erneuerung planen; bis dahin nur in der Wärme falten',
  },
  'stitches-rotted': {
    name: 'Mürbe Nähte',
    work: 'neu nähen, wenn der Stoff heil ist, mit sonnenfestem Garn',
  },
  'cable-pocket-open': {
    name: 'Offene Seiltasche',
    work: 'die Tasche nähen oder erneuern, meist zusammen mit einem neuen Bezug',
  },
  'edges-flutter-worn': {
    name: 'Vom Flattern verschlissene Kanten',
    work: 'kleine Stellen flicken, Band oder Seil erneuern, und künftig immer die Hülle auflegen',
  },
  'cover-worn-through': {
    name: 'Am Gestell durchgescheuerter Bezug',
    work: 'ein Schutz über dem Gelenk und ein Flicken, und das Falten eingestellt',
  },
  'cold-shrink-back': {
    name: 'In der Kälte zurückgezogener Bezug',
    work: 'erwärmen, verriegeln, verriegelt lassen und benutzen',
  },
  'window-seal-leaking': {
    name: 'Undichte Dichtung der Heckscheibe',
    work: 'eine neue Dichtung, richtig eingebettet',
  },
  'bonded-glass-lifting': {
    name: 'Die geklebte Scheibe löst sich',
    work: 'zweiteilige Verdecke: das hintere Teil; einteilige: meist ein neuer Bezug',
  },
  'plastic-window-aged': {
    name: 'Gealterte Kunststoffscheibe',
    work: 'leichte Trübung polieren; sonst die Scheibe erneuern, oft einmal im Leben eines Bezugs',
  },
  'tension-cable-broken': {
    name: 'Gerissenes Seitenseil',
    work: 'ein neues Paar Seile in der richtigen Länge',
  },
  'latch-out-of-set': {
    name: 'Verstellter Verschluss',
    work: 'die Haken Umdrehung für Umdrehung einstellen, beide Seiten gleich',
  },
  'side-glass-off': {
    name: 'Die Seitenscheibe liegt nicht an ihrer Dichtung',
    work: 'zuerst die Schiene einstellen, dann die Anschläge der Scheibe',
  },
  'leak-beyond-weeping': {
    name: 'Wasser dringt ein',
    work: 'die Fuge einstellen oder abdichten',
  },
};

/** The parts of an estimate in German. */
export const GERMAN_PARTS: Readonly<Record<Part, string>> = {
  'washer-pair': 'Unterlegscheiben',
  'link-set': 'Reparatursatz für ein Lenkergelenk',
  'main-set': 'Reparatursatz für ein Hauptgelenk',
  'header-pin': 'Bolzen am Dachrahmen',
  'lock-nut': 'selbstsichernde Mutter',
  oil: 'leichtes Öl',
  proofer: 'Imprägnierung für Stoff',
  'tailgate-seal': 'Dichtung der Heckklappe',
  'cable-pair': 'Seitenseile',
  cover: 'Bezug',
  padding: 'Polsterung',
  lining: 'Innenhimmel',
  strap: 'Band',
  'rear-window': 'Heckscheibe',
  'window-frame': 'Rahmen der Heckscheibe',
  'window-seal': 'Dichtung der Heckscheibe',
  'hold-down-tab': 'Haltelasche',
};

/** For a joint that is not named yet. */
export const GERMAN_JOINT_SET = 'Reparatursatz für dieses Gelenk';
