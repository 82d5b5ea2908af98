// Who is asking? A member of one company, through a browser session or a token.

import type { Role, TokenScope } from '../vocabulary.ts'

export interface Actor {
  personId: string
  memberId: string
  companyId: string
  companyName: string
  name: string
  role: Role
  /** A browser session may do what its role may; a token only what its scopes say besides. */
  scopes: TokenScope[]
  via: 'session' | 'token'
}
