// What is said, in Spanish, of an address that this server is to connect to?

import type { outgoing as english } from '../en/outgoing.ts'

export const outgoing: typeof english = {
  faults: {
    'no-address': 'Esto no es una dirección. Tiene la forma https://example.com/path.',
    'not-https': 'Use una dirección que empiece por https://.',
    'with-password': 'Deje fuera de la dirección usuario y contraseña.',
    'with-fragment': 'Deje fuera lo que sigue a #.',
    port: 'Use el puerto 443 u 8443.',
    'not-public':
      'Esta dirección no está en la internet pública. Quien lleva el servidor puede permitir una red propia.',
  },
}
