// What is said of auditReasons?

export const auditReasons = {
  oneJoint: '1 unión',
  joints: (count: number) => `${count} uniones`,
  andMore: (tags: string, tagsLength: number) => `${tags} y ${tagsLength} más`,
  madeByWhatLeaked: (joints: string) => `${joints} hechas, por lo que fugó antes`,
  madeWhichLeakTimes: (joints: string, joints2: number, group: string, ratio: string) =>
    `${joints} hechas; ${joints2} ${group}, que fugan ${ratio} veces más que las uniones de la empresa`,
  atTheOfThe: (placeWords: string, key: string) => `en el ${placeWords} de la línea de ${key}`,
  ofWord: (key: string) => `de ${key}`,
  flaredBy: (key: string) => `abocardadas con ${key}`,
  oneTool: 'una herramienta',
  flaredWith: (key: string) => `abocardadas con ${key}`,
  oneWrench: 'una llave',
  tightenedWith: (key: string) => `apretadas con ${key}`,
  on: (key: string) => `en ${key}`,
}
