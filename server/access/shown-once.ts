// How does a secret reach the one who asked for it, and nobody after? It never goes along when the rest is kept.

/** The first answer to a write is kept for whoever asks again; as JSON, and so in that answer, this is null. */
export class ShownOnce {
  readonly #secret: string

  constructor(secret: string) {
    this.#secret = secret
  }

  reveal(): string {
    return this.#secret
  }

  toJSON(): null {
    return null
  }
}

/** The secret while it is fresh; null in an answer that was given before. */
export const revealed = (secret: ShownOnce | null): string | null =>
  secret instanceof ShownOnce ? secret.reveal() : null
