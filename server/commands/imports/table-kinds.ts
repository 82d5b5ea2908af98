// Which tables can be brought in, which column is what, and what is added for a row?

import {
  CALIBRATION_BASES,
  CALIBRATION_RESULTS,
  CHARGE_SCHEMES,
  INSTRUMENT_KINDS,
  LUBRICATIONS,
  REFRIGERANT_NAMES,
} from '../../vocabulary.ts'
import { amount, choice, day, number, type ReadCell, span, words } from './cells.ts'

export const TABLE_KINDS = ['sites', 'instruments', 'equipment-sheets'] as const
export type TableKind = (typeof TABLE_KINDS)[number]

export interface TableField {
  /** The path of the field in the input that a program would send; tube sizes are named in it. */
  code: string
  /** How headings call it, in a few languages; from memory. Tried in order: the first that fits has the column. */
  heading: RegExp
  required?: true
  read: ReadCell
}

/** A row, cell by cell, as fields of one or two commands. */
export interface RowInput {
  add: Record<string, unknown>
  /** For instruments: their last calibration. */
  calibration?: Record<string, unknown>
  /** The field of the table that a path of the input comes from, where it is another. */
  paths: Record<string, string>
}

/** The customer's own number for a row: by it the same row is known again. Belongs to no input. */
export const REFERENCE = 'reference'
const reference: TableField = {
  code: REFERENCE,
  heading:
    /^(own )?(ref(erence)?\.?|customer (no|number|id)\.?|account|id|no\.?|nr\.?|key|kunden ?nr\.?|kundennummer|referencia|n[uú]mero|c[oó]digo|code)$/,
  read: words,
}

export const SIZES = ['1/4', '3/8', '1/2', '5/8', '3/4', '7/8'] as const
const inches = (size: string) => {
  const [top = 0, bottom = 1] = size.split('/').map(Number)
  return top / bottom
}
/** The outside diameter of a tube of that size, in metres. */
export const sizeM = (size: (typeof SIZES)[number]) => inches(size) * 0.0254
const ofSize = (what: string, size: string) =>
  new RegExp(`^(${what})[^\\d]*${size.replace('/', '\\s*/\\s*')}`)
const torqueCode = (size: string) => `torque.${size}`
const flareCode = (size: string) => `flareDiameter.${size}`
const adderCode = (size: string) => `chargeAdders.${size}`

export const TABLE_FIELDS: Record<TableKind, readonly TableField[]> = {
  sites: [
    {
      code: 'customerName',
      heading:
        /^(customer( name)?|client|name|kunde(nname)?|cliente|nombre( del cliente)?|nom( du client)?)$/,
      required: true,
      read: words,
    },
    {
      code: 'address',
      heading:
        /^(site |full )?(address|adresse|anschrift|direcci[oó]n|indirizzo|street( address)?|stra(ss|ß)e|calle)$/,
      required: true,
      read: words,
    },
    {
      code: 'town',
      heading: /^(town|city|place|ort|stadt|ciudad|localidad|ville|poblaci[oó]n)$/,
      read: words,
    },
    {
      code: 'contact',
      heading:
        /^(contact|phone|telephone|tel\.?|e-?mail|kontakt|telefon|contacto|tel[eé]fono|t[eé]l[eé]phone)$/,
      read: words,
    },
    {
      code: 'elevation',
      heading: /^(elevation|altitude|height|h[oö]he|altitud|elevaci[oó]n)/,
      read: amount('length', 'm'),
    },
    reference,
  ],
  instruments: [
    {
      code: 'kind',
      heading: /^(kind|type|category|art|typ|clase|tipo)$/,
      required: true,
      read: choice(INSTRUMENT_KINDS, {
        wrench: 'torque-wrench',
        Drehmomentschlüssel: 'torque-wrench',
        'llave dinamométrica': 'torque-wrench',
        gauge: 'pressure-gauge',
        manometer: 'pressure-gauge',
        manómetro: 'pressure-gauge',
        'micron gauge': 'vacuum-gauge',
        Vakuummeter: 'vacuum-gauge',
        vacuómetro: 'vacuum-gauge',
        termómetro: 'thermometer',
        scales: 'scale',
        Waage: 'scale',
        balanza: 'scale',
        báscula: 'scale',
        detector: 'leak-detector',
        Lecksucher: 'leak-detector',
        'detector de fugas': 'leak-detector',
        Bördelgerät: 'flaring-tool',
        abocardador: 'flaring-tool',
        Presszange: 'press-tool',
        prensadora: 'press-tool',
        Rohrschneider: 'tube-cutter',
        cortatubos: 'tube-cutter',
        Entgrater: 'deburring-tool',
        desbarbador: 'deburring-tool',
      }),
    },
    {
      code: 'name',
      heading: /^(name|description|instrument|tool|bezeichnung|ger[aä]t|nombre|descripci[oó]n|instrumento)$/,
      required: true,
      read: words,
    },
    {
      code: 'serial',
      heading:
        /^(serial( (no|number)\.?)?|s\/n|sn|seriennummer|serien-?nr\.?|serie|n\.? ?º? de serie|n[uú]mero de serie)$/,
      required: true,
      read: words,
    },
    {
      code: 'accuracyPercent',
      heading: /^(accuracy|genauigkeit|exactitud|precisi[oó]n).*(%|percent|prozent|por ciento)?$/,
      read: number,
    },
    {
      code: 'calibrationIntervalDays',
      heading: /^(calibration )?(interval|intervall|intervalo)/,
      read: number,
    },
    {
      code: 'calibration.at',
      heading:
        /^(last )?(calibrat(ed|ion)( (date|on|at))?|kalibriert( am)?|letzte kalibrierung|[uú]ltima calibraci[oó]n|calibrado( el)?)$/,
      read: day,
    },
    {
      code: 'calibration.result',
      heading: /^(calibration |last )?(result|ergebnis|resultado)$/,
      read: choice(CALIBRATION_RESULTS, {
        pass: 'in-tolerance',
        passed: 'in-tolerance',
        ok: 'in-tolerance',
        bestanden: 'in-tolerance',
        'en tolerancia': 'in-tolerance',
        apto: 'in-tolerance',
        fail: 'out-of-tolerance',
        failed: 'out-of-tolerance',
        'nicht bestanden': 'out-of-tolerance',
        'fuera de tolerancia': 'out-of-tolerance',
        'no apto': 'out-of-tolerance',
        ajustado: 'adjusted',
        justiert: 'adjusted',
      }),
    },
    {
      code: 'calibration.basis',
      heading: /^(last )?(basis|grundlage|base)$/,
      read: choice(CALIBRATION_BASES, {
        zertifikat: 'certificate',
        certificado: 'certificate',
        own: 'own-check',
        'comprobación propia': 'own-check',
      }),
    },
    {
      code: 'calibration.asFoundErrorPercent',
      heading: /^(largest )?(as[- ]found|error|abweichung)/,
      read: number,
    },
    {
      code: 'calibration.reference',
      heading:
        /^(calibration |last )?(reference|certificate( (no|number)\.?)?|zertifikat(snummer)?|certificado)$/,
      read: words,
    },
  ],
  'equipment-sheets': [
    {
      code: 'maker',
      heading: /^(maker|manufacturer|brand|hersteller|fabricante|marca|fabricant)$/,
      required: true,
      read: words,
    },
    { code: 'model', heading: /^(model|type no\.?|modell|modelo|mod[eè]le)$/, required: true, read: words },
    { code: 'kind', heading: /^(kind|type|category|art|typ|clase|tipo)$/, required: true, read: words },
    {
      code: 'refrigerant',
      heading: /^(refrigerant|gas|k[aä]ltemittel|refrigerante|fluide)$/,
      required: true,
      read: choice(REFRIGERANT_NAMES),
    },
    {
      code: 'source.document',
      heading: /^(document|manual|source|handbuch|dokument|quelle|documento|fuente)$/,
      required: true,
      read: words,
    },
    { code: 'source.page', heading: /^(page|seite|p[aá]gina|page no\.?)$/, required: true, read: words },
    ...SIZES.map((size) => ({
      code: torqueCode(size),
      heading: ofSize('torque|tightening|drehmoment|anzugsmoment|par', size),
      read: span('torque', 'N.m'),
    })),
    ...SIZES.map((size) => ({
      code: flareCode(size),
      heading: ofSize('flare|b[oö]rdel|abocardado', size),
      read: span('length', 'mm'),
    })),
    ...SIZES.map((size) => ({
      code: adderCode(size),
      heading: ofSize('adder|additional|extra|zusatz|adicional', size),
      read: amount('mass-per-length', 'g/m'),
    })),
    {
      code: 'factoryCharge',
      heading: /^(factory|pre)[- ]?charge|^charge$|^f[uü]llmenge|^carga( de f[aá]brica)?$/,
      read: amount('mass', 'kg'),
    },
    { code: 'maxCharge', heading: /^max(imum|\.)?[- ]?charge|^carga m[aá]xima/, read: amount('mass', 'kg') },
    {
      code: 'makerTableCharge',
      heading: /^(maker[’']?s? )?table[- ]?charge|^maker table charge/,
      read: amount('mass', 'kg'),
    },
    {
      code: 'prechargedLength',
      heading: /^(pre-?charged|chargeless) length|^vorgef[uü]llte l[aä]nge|^longitud precargada/,
      read: amount('length', 'm'),
    },
    { code: 'chargeScheme', heading: /^(charge )?scheme$/, read: choice(CHARGE_SCHEMES) },
    {
      code: 'minLength',
      heading: /^min(imum|\.)?[- ]?length|^longitud m[ií]nima|^mindestl[aä]nge/,
      read: amount('length', 'm'),
    },
    {
      code: 'maxTotalLength',
      heading: /^max(imum|\.)?[- ]?total[- ]?length|^total length/,
      read: amount('length', 'm'),
    },
    {
      code: 'maxLength',
      heading: /^max(imum|\.)?[- ]?length|^longitud m[aá]xima|^maximall[aä]nge/,
      read: amount('length', 'm'),
    },
    {
      code: 'maxRiseOutdoorAbove',
      heading: /^max(imum|\.)?[- ]?(rise|height) outdoor( unit)? above/,
      read: amount('length', 'm'),
    },
    {
      code: 'maxRiseOutdoorBelow',
      heading: /^max(imum|\.)?[- ]?(rise|height) outdoor( unit)? below/,
      read: amount('length', 'm'),
    },
    { code: 'maxRise', heading: /^max(imum|\.)?[- ]?(rise|height)|^desnivel/, read: amount('length', 'm') },
    {
      code: 'testPressureGauge',
      heading: /^test pressure|^pr[uü]fdruck|^presi[oó]n de prueba/,
      read: amount('gauge-pressure', 'MPa'),
    },
    {
      code: 'maxPressureGauge',
      heading: /^max(imum|\.)?[- ]?pressure|^presi[oó]n m[aá]xima/,
      read: amount('gauge-pressure', 'MPa'),
    },
    {
      code: 'vacuumTarget',
      heading: /^vacuum target|^objetivo de vac[ií]o/,
      read: amount('absolute-pressure', 'micron'),
    },
    {
      code: 'vacuumLimit',
      heading: /^vacuum limit|^l[ií]mite de vac[ií]o/,
      read: amount('absolute-pressure', 'micron'),
    },
    { code: 'vacuumHoldMinutes', heading: /^vacuum hold/, read: number },
    { code: 'flareLubrication', heading: /^(flare )?(oil|lubrication)$/, read: choice(LUBRICATIONS) },
    {
      code: 'subcooling',
      heading: /^sub-?cooling|^unterk[uü]hlung|^subenfriamiento/,
      read: span('temperature-difference', 'K'),
    },
    {
      code: 'superheat',
      heading: /^super-?heat|^[uü]berhitzung|^(sobre|re)calentamiento/,
      read: span('temperature-difference', 'K'),
    },
    {
      code: 'temperatureSplit',
      heading: /^temperature split|^temperature difference|^salto t[eé]rmico/,
      read: span('temperature-difference', 'K'),
    },
    reference,
  ],
}

/** What a program would send for such a row. Fields that are empty are left out. */
export function inputOf(kind: TableKind, values: Readonly<Record<string, unknown>>): RowInput {
  const add: Record<string, unknown> = {}
  const calibration: Record<string, unknown> = {}
  const paths: Record<string, string> = {}
  const lists = { torque: [] as unknown[], flareDiameter: [] as unknown[], chargeAdders: [] as unknown[] }
  for (const [code, value] of Object.entries(values)) {
    if (code === REFERENCE) continue
    const [first = '', ...rest] = code.split('.')
    if (first === 'calibration') calibration[rest.join('.')] = value
    else if (first === 'source')
      add.source = { ...(add.source as object | undefined), [rest.join('.')]: value }
    else if (first in lists) {
      const list = lists[first as keyof typeof lists]
      const od = { value: inches(rest.join('.')), unit: 'in' }
      paths[`${first}.${list.length}`] = code
      list.push(
        first === 'chargeAdders'
          ? { liquidOd: od, perLength: value }
          : { tubeOd: od, ...(value as Record<string, unknown>) },
      )
    } else add[code] = value
  }
  for (const [name, list] of Object.entries(lists)) if (list.length > 0) add[name] = list
  if (kind !== 'instruments' || Object.keys(calibration).length === 0) return { add, paths }
  // Whoever has a certificate's number has a certificate.
  const basis = calibration.basis ?? (calibration.reference === undefined ? 'own-check' : 'certificate')
  for (const name of ['at', 'result', 'asFoundErrorPercent', 'reference', 'basis'])
    paths[name] = `calibration.${name}`
  return { add, calibration: { ...calibration, basis }, paths }
}

/** By what a row is known where it has no number of its own: there is one instrument of a kind with a serial, and so on. */
export function nameOf(kind: TableKind, add: Readonly<Record<string, unknown>>): string {
  const parts: Record<TableKind, string[]> = {
    sites: ['customerName', 'address'],
    instruments: ['kind', 'serial'],
    'equipment-sheets': ['maker', 'model'],
  }
  return plainName(parts[kind].map((part) => String(add[part] ?? '')))
}

export const plainName = (parts: readonly string[]): string =>
  parts.map((part) => part.trim().toLowerCase().replaceAll(/\s+/g, ' ')).join('\n')
