// How many messages did this process send, and what became of them? For whoever watches the service.

export const webhookCounts = { delivered: 0, failed: 0, givenUp: 0, switchedOff: 0 }
