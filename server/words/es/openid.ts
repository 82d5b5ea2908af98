// What is said, in Spanish, of a company's own way to sign in?

import type { openid as english } from '../en/openid.ts'
import { type Part, phrase } from '../phrase.ts'

export const openid: typeof english = {
  ownProvider: 'Entrar con el proveedor de la empresa',
  whatItIs:
    'Los miembros pueden entrar donde entran para todo lo demás, con OpenID Connect. Sus contraseñas aquí siguen valiendo. Una sesión que abre el proveedor vale solo para esta empresa.',
  thisProvider: 'Este proveedor',
  thisWayIn: 'Esta manera de entrar',
  name: 'Cómo se llama su botón',
  nameHint: 'Por ejemplo, «Cuenta de la oficina».',
  issuer: 'Emisor',
  issuerHint: 'La dirección con la que el proveedor se nombra, tal como la escribe: https://…',
  clientId: 'ID de cliente',
  clientSecret: 'Secreto de cliente',
  secretHint: 'Como lo dio el proveedor. Se guarda cifrado y no se vuelve a mostrar.',
  secretKeptHint: 'Hay uno guardado. Déjelo vacío para conservarlo.',
  domains: 'Dominios de correo por los que habla',
  domainsHint:
    'Separados por espacios, por ejemplo example.org. Sin ninguno, habla por las direcciones de sus miembros, estén donde estén.',
  inUse: 'Los miembros pueden entrar con él',
  keep: 'Guardar esto',
  kept: 'Está guardado. El proveedor respondió.',
  keptOff: 'Está guardado, y apagado.',
  takeAway: 'Quitarlo',
  takingAway: 'Se cierra la sesión de quien haya entrado con él. Las contraseñas siguen valiendo.',
  redirect: 'Dé al proveedor esta dirección de vuelta:',
  ownAddress: 'Sus miembros entran en:',
  noDomain: 'Escriba un dominio como example.org.',
  tooManyDomains: 'Como mucho 20 dominios.',
  doesNotAnswer: 'Nadie responde allí como este emisor. No se guardó nada.',
  signInAt: (company: string) => `Entrar en ${company}`,
  goTo: (name: string) => `Seguir con ${name}`,
  goesElsewhere: 'Entra allí y vuelve aquí.',
  orWithPassword: (password: Part) => phrase`O ${password}.`,
  withPassword: 'con su contraseña',
  byCompany: 'Entrar a través de su empresa',
  yourAddress: 'Su dirección de correo del trabajo',
  findIt: 'Buscar su empresa',
  noneFor:
    'Ninguna empresa de aquí deja entrar a su gente con una dirección así. Pida la dirección de su propia página.',
  notReached: (name: string) => `${name} no responde ahora. Inténtelo de nuevo en un momento.`,
  over: 'Tardó demasiado o ya se usó. Empiece de nuevo.',
  notSaid: 'El proveedor no dijo quién es usted. Empiece de nuevo.',
  noVerifiedAddress: 'El proveedor no nombra ninguna dirección de correo suya que haya verificado.',
  noMember: 'Con esa dirección no es miembro aquí. Pida una invitación a un propietario.',
  tryAgain: 'Empezar de nuevo',
}
