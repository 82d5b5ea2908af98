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
}
