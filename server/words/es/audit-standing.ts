// What is said of auditStanding?

export const auditStanding = {
  thisJob: 'Este trabajo',
}
