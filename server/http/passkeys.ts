// How does somebody add a passkey, call it something, take it away, and sign in with one?

import { askForNew, askForOne } from '../access/passkeys.ts'
import {
  addOwnPasskey,
  beginPasskey,
  placeHere,
  removePasskey,
  renamePasskey,
} from '../commands/people/own-passkeys.ts'
import { askForPasskey, takePasskey } from '../commands/people/take-passkey.ts'
import { conflict, Refusal } from '../refusals.ts'
import { say } from '../words/say.ts'
import type { Deps } from './deps.ts'
import { instant } from './json.ts'
import type { Resource } from './resource.ts'
import { ownSecondStepAgain, passkeyJson, shownOnce } from './second-step.ts'
import {
  afterSignIn,
  ENTRANCE_LIMIT,
  noteSignIn,
  openSession,
  secondStepOrSignIn,
  signedInJson,
  withNext,
} from './session.ts'

export function passkeysResource(resource: Resource, { machinery }: Deps): void {
  resource.publicWrite({
    path: '/me/passkeys/begin',
    command: beginPasskey,
    status: 201,
    rateLimit: ENTRANCE_LIMIT,
    json: async ({ step, expiresAt, challenge, person, known }) => ({
      step,
      expiresAt: instant(expiresAt),
      options: await askForNew(placeHere(machinery), challenge, person, known),
    }),
  })

  resource.publicWrite({
    path: '/me/passkeys',
    command: addOwnPasskey,
    status: 201,
    rateLimit: ENTRANCE_LIMIT,
    after: async ({ personId, passkey, first }, ask) => {
      if (!passkey) throw conflict('passkey-not-made', say.passkeys.notMade)
      // It was shown just now, in this browser: the session that goes on has given it.
      const { companyId } = ask.identity
      if (first)
        await openSession(ask, personId, companyId, 'password-and-passkey', { secondStepAt: ask.now })
      return undefined
    },
    json: ({ passkey, recoveryCodes }) => ({ passkey: passkey && passkeyJson(passkey), recoveryCodes }),
    page: {
      goTo: ({ recoveryCodes }, ask) =>
        recoveryCodes === null ? '/me/second-step' : shownOnce(recoveryCodes, ask),
      again: ownSecondStepAgain,
    },
  })

  resource.publicWrite({
    method: 'PATCH',
    path: '/me/passkeys/:passkeyId',
    command: renamePasskey,
    page: {
      path: '/me/passkeys/:passkeyId/rename',
      goTo: () => '/me/second-step',
      again: ownSecondStepAgain,
    },
  })

  resource.publicWrite({
    path: '/me/passkeys/:passkeyId/remove',
    command: removePasskey,
    rateLimit: ENTRANCE_LIMIT,
    json: ({ removed }) => ({ removed }),
    page: { goTo: () => '/me/second-step', again: ownSecondStepAgain },
  })

  resource.publicWrite({
    path: '/session/passkey/begin',
    command: askForPasskey,
    status: 201,
    rateLimit: ENTRANCE_LIMIT,
    json: async ({ step, challenge, known, alone }) => ({
      step,
      options: await askForOne(placeHere(machinery), challenge, known, alone),
    }),
  })

  resource.publicRead({
    path: '/sign-in/passkey',
    name: 'passkey-page',
    summary: 'Back to the page to sign in on.',
    load: async () => null,
    page: (_nothing, ask) => withNext('/sign-in', ask),
  })

  resource.publicWrite({
    path: '/session/passkey',
    command: takePasskey,
    status: 201,
    rateLimit: ENTRANCE_LIMIT,
    after: async ({ way, personId, signedIn }, ask) => {
      if (signedIn) {
        await openSession(ask, signedIn.person.id, signedIn.companyId, way, { secondStepAt: ask.now })
        return undefined
      }
      if (personId !== null) await noteSignIn(ask, { personId, companyId: null, way, succeeded: false })
      throw new Refusal(
        'signed-out',
        'passkey-refused',
        personId === null ? say.passkeys.unknown : say.passkeys.refused,
      )
    },
    json: ({ signedIn }) => signedIn && signedInJson(signedIn),
    page: {
      path: '/sign-in/passkey',
      goTo: ({ signedIn }, ask) => afterSignIn(signedIn?.companyId ?? null, ask),
      again: (form, refusal, ask) => secondStepOrSignIn(form.values.step ?? '', undefined, refusal, ask),
    },
  })
}
