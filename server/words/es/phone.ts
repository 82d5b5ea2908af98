// What is said of a phone without signal?

import { type Part, phrase } from '../phrase.ts'

export const phone = {
  onThisPhone: 'En este teléfono',
  whatWasEnteredWithout:
    'Lo que se anotó sin señal y aún no está en el servidor, en el orden en que se envía.',
  withoutScriptNothingIs:
    'Sin scripts no se guarda nada en este teléfono: un formulario que no se pudo enviar sigue en la ventana del navegador.',
  signInToSee: 'Entre para ver y enviar lo suyo',
  nothingWaitsHere: 'Aquí no espera nada.',
  tryToSendNow: 'Intentar enviar ahora',
  mendIt: 'Corregirlo',
  sendItAgain: 'Enviarlo otra vez',
  dropIt: 'Descartarlo',
  itIsTakenOff: (span: Part) =>
    phrase`Se quita de este teléfono para siempre y no se anota en ninguna parte. ${span}`,
  yesDropIt: 'Sí, descartarlo',
  keepIt: 'Conservarlo',
}
