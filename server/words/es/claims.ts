// What is said of a claim packet: on its page, in its report, and in the file that explains it?

export const claims = {
  packet: 'Expediente de reclamación',
  packetOf: (system: string) => `Expediente de reclamación, ${system}`,
  packetWhy:
    'Todo lo que el registro guarda de este sistema, en un zip para entregar con un reclamo: se puede comprobar sin este servicio.',
  whatIsIn: 'Lo que contiene',
  asPdf: 'en PDF',
  theReport: 'Informe',
  theReportNote: 'Sistema, unidades, reclamaciones, las uniones afectadas, pruebas, certificados',
  certificates: 'Certificados',
  certificatesNote: 'Cada uno tal como se firmó y en PDF, también los sustituidos',
  none: 'ninguno',
  photos: 'Fotos',
  readings: 'Lecturas',
  readingsNote: 'De cada prueba de presión y evacuación, en una tabla (CSV)',
  chain: 'Entradas del registro',
  chainNote: 'La cadena entera del sistema, para que se vea un byte cambiado',
  size: 'Tamaño',
  about: (megabytes: string) => `unos ${megabytes} MB`,
  leaveOutContact: 'No decir quién es el cliente',
  leaveOutContactHint:
    'Nombre, dirección, teléfono y correo no aparecen entonces en ningún archivo; la localidad queda, porque la muestra cada certificado. Lo que se firmó con esos datos dentro no se puede cambiar y se deja fuera, con su huella.',
  make: 'Hacer el expediente',
  makeNote:
    'Llega como descarga; puede dejar esta página. Queda registrado quién lo hizo y si se omitió al cliente.',
  madeBefore: 'Hechos antes',
  madeBy: (who: string) => `por ${who}`,
  withoutContact: 'sin el cliente',
  withContact: 'con el cliente',
  itsHistory: 'Su historia',
  useContact: 'Use contact, o no lo ponga.',
  somebody: 'alguien que ya no está',
  withheld: 'omitido',
  report: (system: string) => `Informe de reclamación, ${system}`,
  reportLead:
    'Lo que el registro de la empresa instaladora dice de este sistema, tal como estaba al hacerse esto. Los archivos que lo acompañan dicen lo mismo para programas.',
  customer: 'Cliente',
  refrigerant: 'Refrigerante',
  equipmentFigures: 'Datos del equipo',
  sheetFrom: (maker: string, model: string, document: string, page: string) =>
    `${maker} ${model}, de ${document}, página ${page}`,
  noSheet: 'sin ficha del equipo',
  made: 'Hecho',
  madeAtBy: (at: string, who: string) => `${at} por ${who}`,
  units: 'Unidades',
  unit: 'Unidad',
  model: 'Modelo',
  serial: 'Número de serie',
  installed: 'Instalada',
  removed: 'Retirada',
  warranty: 'Garantía',
  warrantyNotSaid: 'no se dijo',
  warrantyUntil: (until: string, registered: boolean) =>
    registered ? `hasta ${until}, registrada con el fabricante` : `hasta ${until}, no registrada`,
  callbacks: 'Reclamaciones',
  noCallbacks: 'Este sistema no ha vuelto.',
  callbackOf: (day: string) => `Comunicada el ${day}`,
  found: 'Hallado',
  foundWords: (what: string, how: string, cause: string, size: string) =>
    `${what}; hallado con ${how}; causa: ${cause}${size === '' ? '' : `; ${size}`}`,
  closedOn: (day: string) => `cerrada el ${day}`,
  stillOpen: 'abierta todavía',
  claimWords: (maker: string, number: string, status: string, amount: string) =>
    `${maker}, número ${number}, ${status}${amount === '' ? '' : `, ${amount}`}`,
  jointsConcerned: 'Uniones afectadas',
  allJoints: 'Ninguna reclamación nombra una unión; se cuentan todas las que están en servicio.',
  jointTitle: (tag: string, place: string, line: string) => `${tag}: ${place}, línea de ${line}`,
  notKnown: 'No se sabe:',
  noJoints: 'El sistema no tiene uniones registradas.',
  tests: 'Pruebas',
  noTests: 'No hay ninguna prueba registrada.',
  test: 'Prueba',
  when: 'Cuándo',
  covered: 'Abarcó',
  verdict: 'Resultado',
  readingsCount: 'Lecturas',
  pressureTest: 'Prueba de presión',
  evacuation: 'Evacuación',
  notConcluded: 'sin concluir',
  noCertificates: 'No se emitió ninguno para este sistema.',
  code: 'Código',
  revision: 'Revisión',
  issued: 'Emitido',
  state: 'Estado',
  file: 'Archivo',
  stateGenuine: 'auténtico',
  stateAltered: 'alterado: lo firmado ya no coincide con el registro',
  stateSuperseded: 'sustituido',
  stateRecalled: 'en revisión por un instrumento',
  stateUnknownKey: 'firmado con una clave que aquí no se conoce',
  whatIsNotIn: 'Lo que no está en este expediente',
  nothingIsLeftOut: 'No se dejó nada fuera.',
  contactLeftOut:
    'Quién es el cliente se omitió a petición de quien hizo esto: nombre, dirección, teléfono y correo. La localidad queda.',
  leftOutFile: (path: string) =>
    `${path}: se firmó con datos del cliente dentro, que no se pueden quitar sin romper la firma. Su huella está en manifest.json.`,
  leftOutPaper: (path: string) => `${path}: lleva dentro una copia firmada así.`,
  leftOutEntries: (count: number) =>
    count === 1
      ? 'El contenido de una entrada de la cadena: alguien escribió en ella datos del cliente. Su huella está.'
      : `El contenido de ${count} entradas de la cadena: alguien escribió en ellas datos del cliente. Sus huellas están.`,
  missingFile: (path: string) => `${path}: el registro lo nombra, y sus bytes no están.`,
  picturesNotLookedAt:
    'Las fotos no llevan datos de cámara ni de lugar. Lo que se ve en ellas no se ha mirado: una placa o un buzón pueden mostrar quién es.',
  nicknames:
    'En los textos libres se buscó el nombre entero y cada línea de la dirección; puede quedar medio nombre.',
  readmeTitle: (system: string, company: string) =>
    `Expediente de reclamación del sistema ${system}, hecho por ${company}`,
  readmeMade: (at: string, who: string) => `Hecho el ${at} por ${who}.`,
  readmeFiles: 'QUÉ ES CADA ARCHIVO',
  fileReport: 'el informe, para leer: unidades, reclamaciones, uniones afectadas, pruebas, certificados',
  fileCertificatePdf: 'un certificado en papel; lleva adjunta su copia firmada',
  fileCertificateJson: 'la copia firmada de ese certificado, letra por letra como se emitió',
  fileReadings:
    'cada lectura de cada prueba de presión y evacuación, con las correcciones; presiones en pascales, temperaturas en kelvin, y como se escribieron',
  fileChain:
    'las entradas del registro del sistema, un objeto JSON por línea, en su orden; también las correcciones',
  fileKeys: 'las claves públicas con que se comprueban certificados y manifiesto',
  filePhotos: 'las fotos como se guardan, con el día, de qué son y qué muestran en el nombre',
  fileCheck: 'una página que comprueba la copia firmada de un certificado en su navegador, sin red',
  fileManifest: 'cada archivo con su tamaño y su SHA-256, quién hizo el expediente, cuándo y qué se omitió',
  fileSignature: 'la firma de manifest.json',
  fileSums: 'las mismas huellas, para programas que comprueban una lista así',
  readmeCheck: 'CÓMO COMPROBARLO, SIN RED',
  readmeHashes:
    'Archivos: calcule el SHA-256 de cada archivo y compárelo con SHA256SUMS.txt; casi todos los sistemas tienen un programa, por ejemplo «sha256sum -c SHA256SUMS.txt». manifest.json, su firma y la propia lista no están en ella.',
  readmeSignature:
    'Manifiesto: manifest.signature.json es una JSON Web Signature (RFC 7515, aplanada) con Ed25519 (RFC 8037). Su payload es manifest.json, byte por byte, en base64url. Lo firmado es el texto: protected, un punto, payload. La clave es la de keys.json cuyo kid está en la cabecera protegida.',
  readmeCertificates:
    'Certificados: abra check.html en un navegador y elija un archivo de la carpeta certificates; o compruébelo como el manifiesto.',
  readmeChain:
    'Cadena: en cada línea de chain.jsonl el SHA-256 de previousHash y content, escritos uno tras otro, es hash; previousHash es el hash de la línea anterior, y 64 ceros en la primera. El último hash está en manifest.json. Los certificados nombran cabezas de esta cadena en record.heads.',
  readmeKeys:
    'Pida a la propia empresa, por una vía de confianza, la huella de su clave: quien hiciera un expediente falso pondría en él una clave falsa.',
  readmeSays:
    'Esto es una declaración de la empresa instaladora sobre su propio trabajo. No es una certificación de un tercero.',
}
