// What is said of auditReasons?

export const auditReasons = {
  oneJoint: '1 joint',
  joints: (count: number) => `${count} joints`,
  andMore: (tags: string, tagsLength: number) => `${tags} and ${tagsLength} more`,
  madeByWhatLeaked: (joints: string) => `${joints} made, by what leaked before`,
  madeWhichLeakTimes: (joints: string, joints2: number, group: string, ratio: string) =>
    `${joints} made; ${joints2} ${group}, which leak ${ratio} times as often as the company’s joints do`,
  atTheOfThe: (placeWords: string, key: string) => `at the ${placeWords} of the ${key} line`,
  ofWord: (key: string) => `of ${key}`,
  flaredBy: (key: string) => `flared by ${key}`,
  oneTool: 'one tool',
  flaredWith: (key: string) => `flared with ${key}`,
  oneWrench: 'one wrench',
  tightenedWith: (key: string) => `tightened with ${key}`,
  on: (key: string) => `on ${key}`,
}
