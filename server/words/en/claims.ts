// What is said of a claim packet: on its page, in its report, and in the file that explains it?

export const claims = {
  packet: 'Claim packet',
  packetOf: (system: string) => `Claim packet, ${system}`,
  packetWhy:
    'Everything that the record holds of this system, in one zip to hand over with a claim: it can be checked without this service.',
  whatIsIn: 'What is in it',
  asPdf: 'as PDF',
  theReport: 'Report',
  theReportNote: 'System, units, callbacks, the joints concerned, tests, certificates',
  certificates: 'Certificates',
  certificatesNote: 'Each as it was signed and as PDF, superseded ones too',
  none: 'none',
  photos: 'Photos',
  readings: 'Readings',
  readingsNote: 'Of every pressure test and evacuation, as a table (CSV)',
  chain: 'Entries of the record',
  chainNote: 'The whole chain of the system, so that a changed byte shows',
  size: 'Size',
  about: (megabytes: string) => `about ${megabytes} MB`,
  leaveOutContact: 'Leave out who the customer is',
  leaveOutContactHint:
    'Name, address, telephone and e-mail then stand in none of its files; the town stays, since every certificate shows it. What was signed with them inside can’t be changed and is left out, with its hash.',
  make: 'Make the packet',
  makeNote:
    'It comes as a download; you may leave this page. Who made it, and whether the customer was left out, goes on record.',
  madeBefore: 'Made before',
  madeBy: (who: string) => `by ${who}`,
  withoutContact: 'without the customer',
  withContact: 'with the customer',
  itsHistory: 'Its history',
  useContact: 'Use contact, or leave it out.',
  somebody: 'somebody who is no longer there',
  withheld: 'withheld',
  // In the report.
  report: (system: string) => `Claim report, ${system}`,
  reportLead:
    'What the installing company’s record says of this system, as it stood when this was made. The files beside it hold the same for programs.',
  customer: 'Customer',
  refrigerant: 'Refrigerant',
  equipmentFigures: 'Equipment figures',
  sheetFrom: (maker: string, model: string, document: string, page: string) =>
    `${maker} ${model}, from ${document}, page ${page}`,
  noSheet: 'no equipment sheet',
  made: 'Made',
  madeAtBy: (at: string, who: string) => `${at} by ${who}`,
  units: 'Units',
  unit: 'Unit',
  model: 'Model',
  serial: 'Serial',
  installed: 'Installed',
  removed: 'Removed',
  warranty: 'Warranty',
  warrantyNotSaid: 'not said',
  warrantyUntil: (until: string, registered: boolean) =>
    registered ? `until ${until}, registered with the maker` : `until ${until}, not registered`,
  callbacks: 'Callbacks',
  noCallbacks: 'This system has not come back.',
  callbackOf: (day: string) => `Reported ${day}`,
  found: 'Found',
  foundWords: (what: string, how: string, cause: string, size: string) =>
    `${what}; found by ${how}; cause: ${cause}${size === '' ? '' : `; ${size}`}`,
  closedOn: (day: string) => `closed ${day}`,
  stillOpen: 'still open',
  claimWords: (maker: string, number: string, status: string, amount: string) =>
    `${maker}, number ${number}, ${status}${amount === '' ? '' : `, ${amount}`}`,
  jointsConcerned: 'Joints concerned',
  allJoints: 'No callback names a joint, so all that are in service are told of.',
  jointTitle: (tag: string, place: string, line: string) => `${tag}: ${place}, ${line} line`,
  notKnown: 'Not known:',
  noJoints: 'The system has no joints on record.',
  tests: 'Tests',
  noTests: 'No test is on record.',
  test: 'Test',
  when: 'When',
  covered: 'Covered',
  verdict: 'Verdict',
  readingsCount: 'Readings',
  pressureTest: 'Pressure test',
  evacuation: 'Evacuation',
  notConcluded: 'not concluded',
  noCertificates: 'None was issued for this system.',
  code: 'Code',
  revision: 'Revision',
  issued: 'Issued',
  state: 'State',
  file: 'File',
  stateGenuine: 'genuine',
  stateAltered: 'altered: what was signed no longer agrees with the record',
  stateSuperseded: 'superseded',
  stateRecalled: 'under recall',
  stateUnknownKey: 'signed with a key that is not known here',
  whatIsNotIn: 'What is not in this packet',
  nothingIsLeftOut: 'Nothing was left out.',
  contactLeftOut:
    'Who the customer is was left out at the wish of whoever made this: name, address, telephone and e-mail. The town stays.',
  leftOutFile: (path: string) =>
    `${path}: was signed with the customer’s data inside, which can’t be taken out without breaking the signature. Its hash stands in manifest.json.`,
  leftOutPaper: (path: string) => `${path}: holds such a signed copy.`,
  leftOutEntries: (count: number) =>
    count === 1
      ? 'The content of one entry of the chain: somebody wrote the customer’s data into it. Its hash is there.'
      : `The content of ${count} entries of the chain: somebody wrote the customer’s data into them. Their hashes are there.`,
  missingFile: (path: string) => `${path}: the record names it, and its bytes are not there.`,
  picturesNotLookedAt:
    'Photos carry no data of camera or place. What can be seen in them was not looked at: a name plate or a letter box may show who it is.',
  nicknames: 'Free text was searched for the whole name and each line of the address; half a name may stand.',
  // README.txt
  readmeTitle: (system: string, company: string) =>
    `Claim packet of the system ${system}, made by ${company}`,
  readmeMade: (at: string, who: string) => `Made ${at} by ${who}.`,
  readmeFiles: 'WHAT EACH FILE IS',
  fileReport: 'the report, to be read: units, callbacks, joints concerned, tests, certificates',
  fileCertificatePdf: 'a certificate on paper; its signed copy is attached inside',
  fileCertificateJson: 'the signed copy of that certificate, letter by letter as it was issued',
  fileReadings:
    'every reading of every pressure test and evacuation, corrections applied; pressures in pascals, temperatures in kelvins, and as they were typed',
  fileChain:
    'the entries of the system’s record, one JSON object a line, in their order; corrections stand in it too',
  fileKeys: 'the public keys that certificates and manifest are checked with',
  filePhotos: 'photos as they are kept, named by day, what they are of and what they show',
  fileCheck: 'a page that checks a certificate’s signed copy in your browser, without any network',
  fileManifest: 'every file with its size and SHA-256, who made the packet, when, and what was left out',
  fileSignature: 'the signature over manifest.json',
  fileSums: 'the same hashes, for programs that check such a list',
  readmeCheck: 'HOW TO CHECK IT, WITHOUT ANY NETWORK',
  readmeHashes:
    'Files: work out the SHA-256 of each file and compare with SHA256SUMS.txt; most systems have a program for it, for example “sha256sum -c SHA256SUMS.txt”. manifest.json, its signature and the list itself are not in the list.',
  readmeSignature:
    'Manifest: manifest.signature.json is a JSON Web Signature (RFC 7515, flattened) by Ed25519 (RFC 8037). Its payload is manifest.json, byte by byte, in base64url. Signed is the text: protected, a full stop, payload. The key is the one in keys.json whose kid stands in the protected header.',
  readmeCertificates:
    'Certificates: open check.html in a browser and choose a file from the folder certificates; or check it as the manifest.',
  readmeChain:
    'Chain: for each line of chain.jsonl the SHA-256 of previousHash and content, written one after the other, is hash; previousHash is the hash of the line before, and 64 zeros in the first. The last hash stands in manifest.json. Certificates name heads of this chain in record.heads.',
  readmeKeys:
    'Ask the company itself, on a way that you trust, for the fingerprint of its key: whoever makes a false packet would put a false key into it.',
  readmeSays:
    'This is a statement by the installing company on its own work. It is not a certification by a third party.',
}
