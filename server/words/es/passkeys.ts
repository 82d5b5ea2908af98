// What is said, in Spanish, of passkeys: made, called something, taken away, and signed in with?

import type { passkeys as english } from '../en/passkeys.ts'
import { type Part, phrase } from '../phrase.ts'

export const passkeys: typeof english = {
  passkeys: 'Llaves de acceso',
  whatTheyAre:
    'Una llave de acceso se guarda en el teléfono, el ordenador o una llave de seguridad, y se abre con su lector de huellas, su cámara o su PIN. Solo funciona en este sitio, así que nadie puede pedirla en otro.',
  whatTheyDo:
    'Es el segundo paso después de la contraseña. La mayoría también permite iniciar sesión por sí sola, sin contraseña.',
  madeOn: (day: Part) => phrase`creada el ${day}`,
  lastUsedOn: (day: Part) => phrase`usada por última vez el ${day}`,
  notUsedYet: 'sin usar todavía',
  name: 'Nombre',
  nameHint: 'Para distinguirla de otras; por ejemplo, el teléfono en el que está.',
  addOne: 'Añadir una llave de acceso',
  change: (name: string) => `Cambiar o quitar ${name}`,
  rename: 'Cambiar el nombre',
  remove: 'Quitar esta llave de acceso',
  removeWhy: 'Ya no abrirá nada aquí. Conviene borrarla también del dispositivo o del gestor de contraseñas.',
  needsJavaScript:
    'Una llave de acceso necesita JavaScript, que está desactivado en este navegador. Una aplicación de autenticación hace lo mismo sin él.',
  needsJavaScriptToSignIn:
    'Iniciar sesión con una llave de acceso necesita JavaScript, que está desactivado en este navegador. Un código funciona sin él: de la aplicación de autenticación o de recuperación.',
  notInThisBrowser:
    'Este navegador no puede crear llaves de acceso. Una aplicación de autenticación hace lo mismo.',
  notHere: (address: string) =>
    `En este servidor no hay llaves de acceso: los navegadores solo las crean para una dirección https con nombre, y la de este servidor es ${address}. Quien lo administra puede cambiarlo.`,
  signIn: 'Iniciar sesión con una llave de acceso',
  useOne: 'Usar una llave de acceso',
  orCode: 'O con un código',
  recoveryCodeHint: 'Uno de los códigos de recuperación.',
  noAnswer: 'Hay que enviar lo que respondió el navegador, tal cual.',
  questionOver:
    'Esto duró más de diez minutos, ya estaba hecho o se empezó en otro lugar. Hay que empezar de nuevo.',
  tooMany: (most: number) => `Ya hay ${most} llaves de acceso. Antes hay que quitar una que no se use.`,
  thereAlready: 'Esta llave de acceso ya se conoce aquí.',
  notMade: 'Lo que llegó no se hizo para este sitio y esta pregunta. Hay que empezar de nuevo.',
  thisPasskey: 'Esta llave de acceso',
  unknown: 'Esta llave de acceso no se conoce aquí, o ya no. Se puede iniciar sesión con la contraseña.',
  refused: 'Esta llave de acceso no abrió. Se puede intentar otra vez o iniciar sesión de otra manera.',
}
