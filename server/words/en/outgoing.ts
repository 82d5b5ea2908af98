// What is said of an address that this server is to connect to?

export const outgoing = {
  faults: {
    'no-address': 'This is no address. It looks like https://example.com/path.',
    'not-https': 'Use an address that begins with https://.',
    'with-password': 'Leave user name and password out of the address.',
    'with-fragment': 'Leave out the part after #.',
    port: 'Use port 443 or 8443.',
    'not-public':
      'This address is not on the public internet. Whoever runs the server can allow a network of your own.',
  },
}
