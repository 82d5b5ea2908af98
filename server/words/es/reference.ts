// What do the reference pages say?

import { type Part, phrase } from '../phrase.ts'

export const reference = {
  methods: 'Métodos',
  howEachNumberIs: 'Cómo se calcula cada número, qué supone y cómo se comprobó.',
  requirements: 'Requisitos',
  whatEachHoldPoint: 'Qué pide cada punto de espera, por qué, y cómo resolverlo.',
  all: (title: string) => `Todo: ${title}`,
  refusalsAndTheirCodes: 'Rechazos y sus códigos',
  referenceOfTheInterface: 'referencia de la interfaz',
  everyRefusalHasA: (link: Part) =>
    phrase`Cada rechazo tiene un código que no cambia. Cuando se ve uno no se escribió nada. Qué se puede llamar, y con qué campos, está en la ${link}.`,
  code: 'Código',
  status: 'Estado',
  whatItMeans: 'Qué significa',
  whatToDo: 'Qué hacer',
  referenceOfTheInterface2: 'Referencia de la interfaz',
  theirCodes: 'sus códigos',
  authorizationBearer: 'Authorization: Bearer …',
  tokens: 'Claves',
  forProgramsOpenapiRefusals: (link: Part, openapi: string, link2: Part, link3: Part, link4: Part) =>
    phrase`Para programas: ${link} (OpenAPI ${openapi}). Rechazos: ${link2}. Un programa entra con una clave (${link3}), que una persona hace en ${link4}.`,
  partsOfTheInterface: 'Partes de la interfaz',
  members: (roles: string) => `Personas: ${roles}.`,
  or: ' o ',
  answersRefusesWith: (it: string, filter: string, refusals: string) =>
    `${it} Responde ${filter}, rechaza con ${refusals}.`,
  query: (query: Part) => phrase`Consulta: ${query}`,
  field: 'Campo',
  kind: 'Clase',
  needed: 'Necesario',
  meaning: 'Significado',
  yes: 'sí',
  no: 'no',
  itsUnit: 'su unidad',
  quantityIn: (units: string) => `cantidad en ${units}`,
  listOf: (items: string) => `lista de ${items}`,
  anybody: 'Cualquiera.',
}
