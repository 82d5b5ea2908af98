// What do the reference pages say?

import { type Part, phrase } from '../phrase.ts'

export const reference = {
  methods: 'Methods',
  howEachNumberIs: 'How each number is worked out, what it assumes, and how it was checked.',
  requirements: 'Requirements',
  whatEachHoldPoint: 'What each hold point asks, why, and how to clear it.',
  all: (title: string) => `All ${title}`,
  refusalsAndTheirCodes: 'Refusals and their codes',
  referenceOfTheInterface: 'reference of the interface',
  everyRefusalHasA: (link: Part) =>
    phrase`Every refusal has a code that stays the same. Nothing was written when you see one. What can be called, and with which fields, stands in the ${link}.`,
  code: 'Code',
  status: 'Status',
  whatItMeans: 'What it means',
  whatToDo: 'What to do',
  referenceOfTheInterface2: 'Reference of the interface',
  theirCodes: 'their codes',
  authorizationBearer: 'Authorization: Bearer …',
  tokens: 'Tokens',
  forProgramsOpenapiRefusals: (link: Part, openapi: string, link2: Part, link3: Part, link4: Part) =>
    phrase`For programs: ${link} (OpenAPI ${openapi}). Refusals: ${link2}. A program signs in with a token (${link3}), which a member makes under ${link4}.`,
  partsOfTheInterface: 'Parts of the interface',
  members: (roles: string) => `Members: ${roles}.`,
  or: ' or ',
  answersRefusesWith: (it: string, filter: string, refusals: string) =>
    `${it} Answers ${filter}, refuses with ${refusals}.`,
  query: (query: Part) => phrase`Query: ${query}`,
  field: 'Field',
  kind: 'Kind',
  needed: 'Needed',
  meaning: 'Meaning',
  yes: 'yes',
  no: 'no',
  itsUnit: 'its unit',
  quantityIn: (units: string) => `quantity in ${units}`,
  listOf: (items: string) => `list of ${items}`,
  anybody: 'Anybody.',
  webhookMessages: 'Messages to webhooks',
  webhookSigned:
    'Each is signed as the Standard Webhooks specification 1.0.0 says: webhook-signature holds one or more of “v1,” and the base64 of HMAC-SHA256 over webhook-id, webhook-timestamp and the body as it came, joined by full stops; the key is the base64 after whsec_. Compare in constant time, refuse a timestamp more than five minutes away, and take a webhook-id that came before for the same message.',
  webhookTries:
    'Answer 2xx within 15 seconds. Anything else is tried again after 5 seconds, 1, 5 and 30 minutes, 2, 5, 10, 14, 18 and 24 hours, each a tenth more or less; 410 ends it at once. A message can come more than once and in any order.',
}
