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
  webhookMessages: 'Mensajes a los webhooks',
  webhookSigned:
    'Cada uno va firmado según la especificación Standard Webhooks 1.0.0: webhook-signature lleva una o más veces “v1,” y el base64 de HMAC-SHA256 sobre webhook-id, webhook-timestamp y el cuerpo tal como llegó, unidos por puntos; la clave es el base64 que sigue a whsec_. Compara en tiempo constante, rechaza una hora a más de cinco minutos, y toma un webhook-id que ya llegó por el mismo mensaje.',
  webhookTries:
    'Contesta 2xx en 15 segundos. Con cualquier otra cosa se intenta otra vez a los 5 segundos, a los 1, 5 y 30 minutos y a las 2, 5, 10, 14, 18 y 24 horas, cada vez una décima más o menos; 410 lo termina al momento. Un mensaje puede llegar más de una vez y en cualquier orden.',
}
