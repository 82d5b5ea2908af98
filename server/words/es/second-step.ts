// What is said, in Spanish, of the second step of a sign-in?

import type { secondStep as english } from '../en/second-step.ts'
import { type Part, phrase } from '../phrase.ts'

export const secondStep: typeof english = {
  secondStep: 'Segundo paso al iniciar sesión',
  whatItIs:
    'Además de la contraseña, una llave de acceso o un código que muestra una aplicación de autenticación en el teléfono. Quien solo conozca la contraseña no llega más lejos.',
  theLastOne: 'Una de las empresas exige un segundo paso, y este es el último. Antes hay que añadir otro.',
  authenticatorApp: 'Aplicación de autenticación',
  setItUp: 'Configurarlo',
  begin: 'Configurar una aplicación de autenticación',
  scanThis: 'Escanear esto con la aplicación de autenticación del teléfono.',
  theQr: 'Código QR para la aplicación de autenticación; lo mismo figura abajo como texto',
  onThisPhone: 'La aplicación está en este dispositivo: abrirla',
  orType: 'O escribir en ella esta clave:',
  firstCode: 'Código que la aplicación muestra ahora',
  firstCodeHint: 'Seis cifras. Cambian cada medio minuto.',
  useIt: 'Usarlo desde ahora',
  waitsHalfAnHour:
    'Esto espera media hora. Cuando el código es correcto, se cierran todas las demás sesiones abiertas.',
  inUseSince: (day: Part) =>
    phrase`La aplicación de autenticación se pide en cada inicio de sesión desde el ${day}.`,
  recoveryCodes: 'Códigos de recuperación',
  codesLeft: (count: number) =>
    count === 0
      ? 'No queda ninguno. Conviene crear otros, para que perder el teléfono no impida entrar.'
      : count === 1
        ? 'Queda uno. Cada uno abre una vez, por si se pierde el teléfono.'
        : `Quedan ${count}. Cada uno abre una vez, por si se pierde el teléfono.`,
  makeNewCodes: 'Crear diez códigos nuevos',
  takeItAway: 'Quitar la aplicación',
  takeItAwayWhy:
    'Sus códigos ya no abrirán nada. Sin llave de acceso, la contraseña basta para entrar, y los códigos de recuperación desaparecen.',
  yourPasswordAgain: 'La contraseña, otra vez',
  notYourPassword: 'Esta no es la contraseña.',
  keepThese:
    'Anotarlos o imprimirlos ahora: solo se muestran una vez. Conviene guardarlos lejos del teléfono.',
  eachOpensOnce:
    'Cada uno abre una vez, en lugar de un código de la aplicación. Los códigos anteriores ya no abren nada.',
  keptThem: 'Ya están a salvo',
  code: 'Código',
  codeHint: 'Seis cifras de la aplicación de autenticación, o un código de recuperación.',
  lostBoth:
    '¿Teléfono y códigos de recuperación perdidos? Un propietario de la empresa puede quitar el segundo paso; el del único propietario, quien administra este servidor.',
  beginWithPassword: 'Empezar de nuevo con la contraseña',
  enterTheCode: 'Escribir las seis cifras o un código de recuperación.',
  wrongCode: 'Este código es incorrecto o ya se usó. La aplicación muestra uno nuevo cada medio minuto.',
  wrongFirstCode:
    'Este no es el código. Conviene mirar otra vez la aplicación; si sigue ocurriendo, poner el reloj del teléfono en hora de la red.',
  stepOver:
    'Este inicio de sesión tardó más de diez minutos o ya se terminó. Hay que iniciar sesión de nuevo.',
  tooManyCodes:
    'Demasiados códigos incorrectos. Hay que esperar un cuarto de hora, o hasta mañana si sigue ocurriendo.',
  thereAlready:
    'Ya se usa una aplicación de autenticación. Primero hay que quitarla y después configurar otra.',
  setUpFirst: 'Primero hay que configurar el segundo paso.',
  beginAgain: 'La clave no se usó en media hora. Hay que empezar de nuevo.',
  unreadable:
    'Este servidor ya no puede leer la clave del autenticador. Se puede usar un código de recuperación; conviene avisar a quien administra el servidor.',
  theyHaveOne: 'Tiene uno.',
  theyHaveNone: 'No tiene.',
  takeTheirsAway: 'Quitar su segundo paso',
  whenTheyLostIt:
    'Para cuando se perdieron el teléfono y los códigos de recuperación. Hay que asegurarse de quién lo pide: después, la contraseña sola basta para entrar. Se cierran sus sesiones, y queda en el registro.',
  wanted:
    'Esta empresa pide un segundo paso antes de todo lo demás. Al configurarlo se puede seguir donde se estaba.',
  theRule:
    'A quien se le pide y no lo tiene, lo configura en la próxima página que abra; nada de lo registrado se pierde. Los tokens de programas siguen igual.',
  ofWhom: 'El segundo paso se pide a',
  ofNobody: 'nadie: cada persona decide',
  ofManagers: 'responsables y propietarios',
  ofEverybody: 'todo el mundo',
  chooseOfWhom: 'Elegir nadie, responsables o todo el mundo.',
  setThis: 'Fijar esto',
  whoHasNone: 'Quién aún no lo tiene',
  allHaveOne: 'Todo el mundo lo tiene.',
  yoursFirst:
    'Primero hay que configurar el propio: de lo contrario, uno mismo sería el primero en quedarse fuera.',
  notYourOwn: 'Este es el propio. Se quita en la página propia.',
  notYoursAlone:
    'Su segundo paso protege algo más que esta empresa, así que no le corresponde solo a ella quitarlo. Puede hacerlo quien administra este servidor.',
}
