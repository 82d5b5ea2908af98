// What is said, in Spanish, of messages to other programs?

import type { webhooks as english } from '../en/webhooks.ts'
import { type Part, phrase } from '../phrase.ts'

export const webhooks: typeof english = {
  webhooks: 'Webhooks',
  webhooks2: 'webhooks',
  lead: 'Haz que otro programa se entere cuando algo pasa aquí: un mensaje firmado va a su dirección. El mensaje no lleva nombre, dirección ni palabras de ningún cliente.',
  howToReceive: 'Cómo recibirlos y verificarlos',
  yours: 'Adónde van los mensajes',
  noneYet: 'Aún no hay webhooks',
  noneYetWhy: 'Aquí estarán las direcciones a las que van mensajes, cada una con el registro de lo enviado.',
  address: 'Dirección',
  addressHint: 'Empieza por https://. Puerto 443 u 8443, en la internet pública.',
  whatItIs: 'Para qué es',
  events: 'Avisarle cuando',
  state: 'Estado',
  on: 'Encendido',
  offByHand: 'Apagado a mano',
  offGone: 'Apagado: el receptor contestó que ya no existe (410)',
  offFailing: 'Apagado: nada llegó durante unos tres días',
  since: (words: string, when: Part) => phrase`${words}, ${when}`,
  failingSince: (count: number, when: Part) =>
    count === 1
      ? phrase`El último intento falló, ${when}.`
      : phrase`Los últimos ${String(count)} intentos fallaron, desde el ${when}.`,
  needsALook:
    'Ahora no se le envía nada. Arregla el receptor, vuelve a encenderlo y envía otra vez lo que le faltó.',
  add: 'Añadir un webhook',
  addIt: 'Añadirlo',
  eventNames: {
    'job.signed_off': 'se aprueba un trabajo',
    'certificate.superseded': 'un certificado deja de valer porque su trabajo se reabrió',
    'callback.opened': 'se recibe una reclamación',
    'callback.closed': 'se cierra una reclamación',
    'recall.opened': 'se abre la revisión retroactiva de un instrumento',
    'webhook.test': 'un mensaje de prueba',
  },
  chooseAtLeastOne: 'Elige al menos un suceso.',
  chooseFrom: (events: string) => `Elige entre: ${events}.`,
  faults: {
    'no-address': 'Esto no es una dirección. Tiene la forma https://example.com/hook.',
    'not-https': 'Usa una dirección que empiece por https://.',
    'with-password': 'Deja fuera de la dirección usuario y contraseña: la firma dice quién envía.',
    'with-fragment': 'Deja fuera lo que sigue a #.',
    port: 'Usa el puerto 443 u 8443.',
    'not-public':
      'Esta dirección no está en la internet pública. Quien lleva el servidor puede permitir una red propia.',
  },
  tooMany: (most: number) => `Ya hay ${most} webhooks. Quita uno antes.`,
  thisWebhook: 'Este webhook',
  thisMessage: 'Este mensaje',
  switchItOnFirst: 'Este webhook está apagado. Enciéndelo antes.',
  isBeingSent: 'Este mensaje se está enviando ahora mismo. Míralo otra vez dentro de un minuto.',
  secretOf: 'Secreto del webhook',
  copyItNow: (url: Part) =>
    phrase`Cópialo ahora: solo se muestra esta vez. Con él se firma cada mensaje a ${url}.`,
  wasShown: 'El secreto se mostró al crearlo y no se muestra otra vez. Si se perdió, crea uno nuevo.',
  secret: 'Secreto',
  beforeSigns: (when: Part) =>
    phrase`El secreto anterior firma también hasta el ${when}. Dale el nuevo al receptor antes.`,
  toTheWebhook: 'Al webhook',
  change: 'Cambiar',
  save: 'Guardar',
  switchOff: 'Apagar',
  switchOn: 'Encender',
  whenOff:
    'Mientras está apagado no se guarda nada para él. Lo que espera ahora se detiene, y puede enviarse otra vez a mano.',
  whenOn: 'Se le envía lo que pase desde entonces; lo que le faltó se envía otra vez desde el registro.',
  sendTest: 'Enviar un mensaje de prueba',
  newSecret: 'Crear un secreto nuevo',
  newSecretWhy: 'Se muestra una vez. Durante 24 horas el actual firma también.',
  remove: 'Quitar',
  removeWhy: 'No se le envía nada más, y su registro se va con él.',
  moreToDo: 'Secreto, apagar y encender, fin',
  log: 'Registro',
  logWhy:
    'Mensajes de los últimos 30 días, del más nuevo al más antiguo. Un mensaje puede llegar más de una vez y en cualquier orden; su webhook-id no cambia.',
  logEmpty: 'Aún no se envió nada',
  logEmptyWhy: 'Aquí estará cada mensaje con cada intento.',
  messages: 'mensajes',
  event: 'Suceso',
  when: 'Cuándo',
  states: {
    waiting: 'Espera',
    delivered: 'Entregado',
    'given-up': 'Abandonado',
    stopped: 'Detenido',
  },
  underWay: 'Enviándose',
  nextTry: (when: Part) => phrase`Próximo intento ${when}`,
  tries: (count: number) =>
    count === 0 ? 'sin intentos aún' : count === 1 ? '1 intento' : `${count} intentos`,
  triesAndContent: 'Intentos y contenido',
  answered: (status: number, ms: string) => `${status} en ${ms} ms`,
  problemIn: (problem: string, ms: string) => `${problem} (${ms} ms)`,
  problems: {
    'timed-out': 'Sin respuesta a tiempo',
    'name-unknown': 'Nadie conoce este nombre de host',
    'address-refused': 'No se envió: el nombre lleva a una dirección que no está permitida',
    'not-trusted': 'El certificado del receptor no es válido',
    'not-reached': 'No se pudo llegar al receptor',
    'secret-unreadable': 'No se envió: este servidor ya no puede leer el secreto. Crea uno nuevo',
  },
  content: 'Contenido',
  sendAgain: 'Enviar otra vez',
  webhookId: 'webhook-id',
}
