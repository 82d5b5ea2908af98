// What is said of tags?

import { type Part, phrase } from '../phrase.ts'

export const tags = {
  openAJoint: 'Abrir una unión',
  openAJointBy: 'Abrir una unión por su etiqueta',
  lettersDigitsAndThe:
    'Letras, cifras y el número de la unión, como están en el tubo: AB4-2. No importan mayúsculas, espacios ni guiones.',
  noJointHereHas:
    'Ninguna unión de aquí tiene esta etiqueta. Mire otra vez letras y cifras; las etiquetas de otra empresa solo se abren allí.',
  whichOneDoYou: '¿Cuál quiere decir?',
  opened: (when: Part) => phrase`, abierto el ${when}`,
  joint: (tag: string) => `Unión ${tag}`,
  joint2: (tag: Part) => phrase`Unión ${tag}`,
  thisTagBelongsTo: (companyName: Part, here: string) =>
    phrase`Esta etiqueta es de ${companyName}. Ahora trabaja usted en ${here}.`,
  openItIn: (companyName: string) => `Abrirla en ${companyName}`,
  tagsOf: (systemName: string) => `Etiquetas de ${systemName}`,
  printThisPageThree:
    'Imprima esta página: caben tres etiquetas a lo ancho en A4 y en Carta. La imagen de cada una lleva a su unión, solo para personas de su empresa.',
  noJointsYetA: 'Aún sin uniones. Una línea frigorífica traza las suyas.',
  labels: 'Etiquetas',
  chosenLabels: 'Etiquetas elegidas',
  allLabels: (allLength: number) => (allLength === 1 ? 'La única etiqueta' : `Las ${allLength} etiquetas`),
  chooseWhich: (it: string) => `${it}: elegir cuáles`,
  showOnlyThese: 'Mostrar solo estas',
  allOfThem: 'Todas',
  aTagIsShorter: 'Una etiqueta es más corta.',
  thisTag: 'Esta etiqueta',
  line: (systemName: string, joint: string, line: string) => `${systemName}, ${joint}, línea de ${line}`,
  noJobIsOpen: (where: string) => `${where}; allí no hay ningún trabajo abierto`,
  onThe: (where: string, kind: string, it: string) => `${where}; en ${kind}${it}`,
  line2: (joint: string, line: string) => `${joint}, línea de ${line}`,
  ofNoLineSet: 'De ninguna línea frigorífica',
}
