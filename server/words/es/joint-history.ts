// What is said of jointHistory?

export const jointHistory = {
  line: (line: string) => `línea de ${line}`,
  theConsole: 'la consola',
  torqueAtTheNut: 'Par en la tuerca',
  diameterOfTheFlare: 'Diámetro del abocardado',
  withinItsBand: 'Dentro de su banda',
  outsideItsBand: 'Fuera de su banda',
  thereIsNoBand: 'No hay banda para este tamaño',
  theWrench: 'la llave',
  withTheErrorTaken: (wrenchName: string, reason: string) =>
    `Descontado el error que se halló en ${wrenchName}: ${reason}`,
}
