// What is said, in Spanish, of sessions, of when somebody signed in, and of letting somebody go?

import type { signing as english } from '../en/signing.ts'

export const signing: typeof english = {
  howYouSignIn: 'Cómo se inicia sesión',
  whereYouAreSignedIn: 'Sesiones abiertas',
  whereTheyAreSignedIn: 'Sesiones abiertas en esta empresa',
  thisBrowser: '(esta)',
  browser: 'Navegador',
  browserOn: (browser: string, system: string) => `${browser} en ${system}`,
  anUnknownBrowser: 'un navegador desconocido',
  signedInSince: 'Desde',
  lastUsed: 'Último uso',
  lastUsedIsToTheHour: 'El último uso se conoce con precisión de una hora.',
  whatYouCanDo: 'Qué se puede hacer',
  signOutThere: 'Cerrar esa sesión',
  signOutEverywhereElse: 'Cerrar todas las demás sesiones',
  whatWaitsOnAPhone:
    'Lo que espera sin enviar en un teléfono se queda en él y se envía cuando su dueño vuelve a iniciar sesión allí.',
  whenYouSignedIn: 'Inicios de sesión propios',
  whenTheySignedIn: 'Inicios de sesión en esta empresa',
  when: 'Cuándo',
  how: 'Cómo',
  keptFor90Days: 'Se guardan 90 días; se muestran los últimos 50.',
  noneYet: 'Ninguno en los últimos 90 días',
  noneYetWhy: 'Cada inicio de sesión desde ahora figura aquí.',
  ways: {
    password: 'con la contraseña',
    authenticator: 'con contraseña y código del autenticador',
    passkey: 'con una llave de acceso',
    'password-and-passkey': 'con contraseña y llave de acceso',
    'recovery-code': 'con contraseña y código de recuperación',
    openid: 'por el acceso propio de la empresa',
    'sign-up': 'al crear la empresa',
    invitation: 'por una invitación',
    'company-chosen': 'desde otra empresa, con la sesión ya abierta',
  },
  failedWay: (way: string) => `rechazado ${way}`,
  onlyForThisCompany:
    'Esta sesión se inició a través del acceso propio de la empresa, que solo vale para esa empresa. Para esto hay que iniciar sesión con la contraseña.',
  thisSession: 'Esta sesión',
  people: 'Personas',
  noSession: 'Sin sesión abierta en esta empresa.',
  signOutOfThisCompany: 'Cerrar todas sus sesiones en esta empresa',
  theyMaySignIn: 'Puede volver a iniciar sesión. Los tokens quedan como están.',
  letThemGo: 'Dar de baja',
  endsAtOnce:
    'Sus sesiones y tokens en esta empresa terminan de inmediato, y también los enlaces de invitación que creó y nadie usó. Lo que registró permanece.',
  noOpenWork: 'No tiene trabajos abiertos.',
  openWork: 'Trabajos abiertos a su cargo',
  everyOpenJob: 'Cada trabajo abierto pasa a alguien: una persona para todos, u otra para trabajos sueltos.',
  forAll: 'Todos los trabajos a',
  chooseSomebody: 'Elegir a alguien',
  asForAll: 'como todos',
  stillWorksHere: 'Sigue trabajando aquí, sin cuenta',
  stillWorksHint: 'Aún se le puede nombrar en registros y conserva los trabajos que no pasan a nadie.',
  noteForThem: 'Nota para quienes reciben los trabajos',
  handOverAndLetGo: 'Traspasar y dar de baja',
  isShutOut: 'No puede iniciar sesión en esta empresa. Se le puede readmitir en la página Personas.',
  thisOpenJob: 'Este trabajo abierto a su cargo',
  notToThemselves: 'Elegir a otra persona: esta es la que se va.',
  doesNotWorkHere: (name: string) => `${name} ya no trabaja aquí.`,
  whoGetsThis: 'Elegir quién recibe este trabajo.',
  openWorkIsLeft: (count: number) =>
    count === 1
      ? 'Un trabajo abierto aún no tiene a nadie.'
      : `${count} trabajos abiertos aún no tienen a nadie.`,
  openWorkFirst: (count: number) =>
    count === 1
      ? 'Tiene un trabajo abierto. Traspasarlo en su propia página, que también da de baja.'
      : `Tiene ${count} trabajos abiertos. Traspasarlos en su propia página, que también da de baja.`,
  more: 'Accesos, trabajos abiertos, baja',
}
