// What is said of tags?

import { type Part, phrase } from '../phrase.ts'

export const tags = {
  openAJoint: 'Open a joint',
  openAJointBy: 'Open a joint by its tag',
  lettersDigitsAndThe:
    'Letters, digits and the number of the joint, as they stand on the pipe: AB4-2. Capitals, blanks and dashes don’t matter.',
  noJointHereHas:
    'No joint here has this tag. Look at the letters and figures once more; tags of another company open only there.',
  whichOneDoYou: 'Which one do you mean?',
  opened: (when: Part) => phrase`, opened ${when}`,
  joint: (tag: string) => `Joint ${tag}`,
  joint2: (tag: Part) => phrase`Joint ${tag}`,
  thisTagBelongsTo: (companyName: Part, here: string) =>
    phrase`This tag belongs to ${companyName}. You work in ${here} now.`,
  openItIn: (companyName: string) => `Open it in ${companyName}`,
  tagsOf: (systemName: string) => `Tags of ${systemName}`,
  printThisPageThree:
    'Print this page: three labels fit side by side on A4 and on Letter. The picture on each leads to its joint, for members of your company alone.',
  noJointsYetA: 'No joints yet. A line set lays out its own.',
  labels: 'Labels',
  chosenLabels: 'Chosen labels',
  allLabels: (allLength: number) => `All ${allLength} labels`,
  chooseWhich: (it: string) => `${it}: choose which`,
  showOnlyThese: 'Show only these',
  allOfThem: 'All of them',
  aTagIsShorter: 'A tag is shorter than that.',
  thisTag: 'This tag',
  line: (systemName: string, joint: string, line: string) => `${systemName}, ${joint}, ${line} line`,
  noJobIsOpen: (where: string) => `${where}; no job is open there`,
  onThe: (where: string, kind: string, it: string) => `${where}; on the ${kind}${it}`,
  line2: (joint: string, line: string) => `${joint}, ${line} line`,
  ofNoLineSet: 'Of no line set',
}
