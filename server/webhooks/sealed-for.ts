// For what is the secret of an address sealed? Moved to another row, it opens nothing.

export const sealedForWebhook = (companyId: string, webhookId: string): string =>
  `webhook ${companyId} ${webhookId}`
