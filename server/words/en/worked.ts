// How is a computation told step by step?

export const worked = {
  eachMetreBeyondWhat:
    'Each metre beyond what the factory charge already covers asks for more; a shorter line takes none away.',
  mAddAdderMax: 'm_add = adder · max(0, length − pre-charged length)',
  indoorUnitsAndAllowances: 'Indoor units and allowances, as the sheet states them.',
  togetherWithWhatIt: 'Together with what it came with.',
  asCoTimesThe: 'As CO₂: times the warming potential over a hundred years.',
  theFiguresAreThose:
    'the figures are those of your equipment’s manual: printed adders spread two to one, and none is built in; GWP: IPCC',
  exactArithmeticAFactory:
    'Exact arithmetic. A factory charge that was opened, mixed or topped up before is not known by it.',
  belowTheFirstLimit:
    'Below the first limit no room is too small; above the second this method no longer serves.',
  m1KgM: (m1Kg: string, m2Kg: string, lfl: number) =>
    `m_1 = ${m1Kg} kg, m_2 = ${m2Kg} kg, with LFL = ${lfl} kg/m³`,
  theAreaOverWhich:
    'The area over which the refrigerant spreads thinly enough, from the height it falls from.',
  forMildlyFlammableRefrigerants:
    'For mildly flammable refrigerants also at least this; the larger area counts.',
  asManualsPrintIt: (source: string) => `${source}, as manuals print it (52 from memory)`,
  forARoomWithout:
    'For a room without ventilation, counted with the whole circuit’s charge. Your equipment’s own table goes before it.',
  cos: (wrenchLengthM: string, offsetM: string, angleDegrees: string) =>
    `(${wrenchLengthM} + ${offsetM} · cos ${angleDegrees}°)`,
  theMiddleOfThe: 'The middle of the range leaves equal room on both sides.',
  theAdapterMakesThe:
    'The adapter makes the lever longer or shorter: L from drive to grip, E from drive to nut, a the angle between them (lengths in mm).',
  withoutAnAdapterThe: 'Without an adapter the setting is the torque itself.',
  whatTheNutGot: 'What the nut got, by what the wrench showed.',
  theWrenchsErrorLies: 'The wrench’s error lies anywhere within its stated accuracy, equally likely.',
  uBetweenAnd: (
    accuracyPercent: string,
    appliedNm: string,
    share: string,
    label: string,
    appliedNm2: string,
    appliedNm3: string,
    label2: string,
  ) =>
    `U = ${accuracyPercent} % · ${appliedNm} = ${share} ${label}: between ${appliedNm2} and ${appliedNm3} ${label2}`,
  thePartOfThat:
    'The part of that span that lies inside the range. It speaks of the torque, not of the joint.',
  pMinHighM: 'P = (min(high, M_nut + U) − max(low, M_nut − U)) / (2 · U), never below nothing',
  pTheWrenchIs: (probabilityInRange: string) =>
    `P = ${probabilityInRange}: the wrench is taken to have no error`,
  byTheSimpleRule:
    'By the simple rule a reading in the range is accepted; by the guarded one the whole of its error must fit.',
  simpleToGuardedTo: (lowNm: string, highNm: string, lowNm2: string, highNm2: string, label: string) =>
    `simple ${lowNm} to ${highNm}; guarded ${lowNm2} to ${highNm2} ${label}`,
  usArmyTm9: 'US Army TM 9-254 and US Navy aviation training (adapter); JCGM 106:2012 (probability)',
  holdsWhileYouPull:
    'Holds while you pull at the grip’s mark, with an adapter shorter than the wrench when turned back.',
  gasesFollowAbsolutePressure:
    'Gases follow absolute pressure and absolute temperature: the air’s pressure is added, and 273.15.',
  aTightSystemKeeps: 'A tight system keeps its density. Z says how far nitrogen is from an ideal gas.',
  p2MpaOn: (
    startPa: string,
    expectedPa: string,
    temperatureK: string,
    startPa2: string,
    temperatureK2: string,
    expectedPa2: string,
    inUnit: string,
  ) =>
    `p_2 = ${startPa} · (${expectedPa} · ${temperatureK}) / (${startPa2} · ${temperatureK2}) = ${expectedPa2} MPa, on the gauge ${inUnit}`,
  aTightSystemKeepsIts: 'A tight system keeps its density; this gas counts as an ideal one.',
  p2MpaOnThe: (
    startPa: string,
    temperatureK: string,
    temperatureK2: string,
    expectedPa: string,
    inUnit: string,
  ) => `p_2 = ${startPa} · ${temperatureK} / ${temperatureK2} = ${expectedPa} MPa, on the gauge ${inUnit}`,
  aStraightLineThrough:
    'A straight line through all hold readings, each brought to the last temperature, says how far the pressure moved beyond that.',
  changeSlopeOfThe: 'change = slope of the line · time held',
  whatWasReadLess: 'What was read, less what was to be expected.',
  howSureThatIs: (following: string) =>
    `How sure that is: g and t are what one reading of gauge and thermometer may be off, s the rise for a kelvin, r = ${following} the part by which the gas may lag behind the thermometer.`,
  uFromTheLines: 'U from the line’s own error and s · r · |T_2 − T_1|',
  uFromTheFull: 'U from the full accuracies of both instruments and s · r · |T_2 − T_1|',
  andTheGaugesOwn: (roundingPa: string) => ` and the gauge’s own step (${roundingPa} kPa)`,
  itFallsWhenEven: (it: string) =>
    `It falls when even U${it} can’t explain the change; it holds when the change with U stays within τ on both sides; else nobody can tell.`,
  fallsChangeURounding: 'falls: change + U + rounding < 0; holds: |change| + U ≤ τ',
  fallsChangeU0: 'falls: change + U < 0; holds: |change| + U ≤ τ',
  rounding: ' + rounding',
  timesTheVolumeAnd:
    'Times the volume and over the time held, that is a leak; below nothing when the pressure rose.',
  aLargerLeakThan: 'A larger leak than this would not have been called holding (97.5 %).',
  qSeenVMin: 'q_seen = V · min(τ, 2 · U + rounding) / t',
  nitrogenByOurFit:
    'nitrogen by our fit to Span et al., J. Phys. Chem. Ref. Data 29 (2000) 1361; r, τ and a quarter of the accuracy for g: common practice, no source',
  idealGasRAnd: 'ideal gas; r, τ and a quarter of the accuracy for g: common practice, no source',
  from30To70: 'From −30 to 70 °C, up to 6 MPa absolute; the expected pressure is right to 0.006 %.',
  asInServiceAt: (refrigerant: string) =>
    `As ${refrigerant} in service, at its boiling pressure at 25 °C: a leak carries more the higher the pressure and the thinner the gas (MPa, µPa·s). An estimate.`,
  mGMol31: (
    leakPaM3PerS: string,
    service: string,
    test: string,
    molarMass: string,
    servicetemperaturek: string,
    kgPerYear: string,
  ) =>
    `m = ${leakPaM3PerS} · [${service}] / [${test}] · ${molarMass} g/mol · 31\u00a0536\u00a0000 / (8.3145 · ${servicetemperaturek}) = ${kgPerYear} g/year`,
  itExplainsMostWith: ': it explains most with least (smallest AICc), so it is taken',
  aiccLargerBy: (aiccDifference: string) => `: AICc larger by ${aiccDifference}`,
  theCurveByLeast: (kindName: string, it: string) => `The ${kindName} curve, by least squares${it}.`,
  tInMinutes: ', t in minutes',
  aAtLeastAt: (low: string, high: string) => `a at least ${low}, at most ${high} (95 %)`,
  levelP0B: (estimate: string, label: string) => `level p_0 + b = ${estimate} ${label}`,
  whatThePressureDoes: (horizonS: string) =>
    `What the pressure does not pass by ${horizonS} min, whichever curve is true (95 %), against the limit.`,
  tightPUpperLimit: 'tight: p_upper < limit',
  pUpperLimit: (horizonUpperPa: string, label: string, limitPaValue: string, label2: string) =>
    `p_upper = ${horizonUpperPa} ${label}; limit = ${limitPaValue} ${label2}`,
  ice: 'ice',
  water: 'water',
  moistureCantRiseAbove: (it: string) =>
    `Moisture can’t rise above the vapour pressure of ${it} at the warmest part.`,
  theSteadyClimbTimes: 'The steady climb times the volume is a leak.',
  fewerThanThreeReadings: 'Fewer than three readings after it was isolated: nothing to fit.',
  aiccHurvichTsai1989:
    'AICc: Hurvich & Tsai 1989, from memory; water: IAPWS; horizon of 60 min: common practice, no source',
  allFourCurvesNeed:
    'All four curves need seven readings. It tells dry from wet first; slow leaks need the check joint by joint.',
  thePressureOfThe:
    'The pressure of the liquid line says at which temperature its first bubble would form; how far the line is below that is the subcooling.',
  subcoolingTBubbleP: 'subcooling = T_bubble(p_gauge + p_air) − T_liquid',
  pMpaAbsoluteC: (
    absolutePressurePa: string,
    saturationK: string,
    temperatureK: string,
    subcoolingK: string,
  ) => `p = ${absolutePressurePa} MPa absolute: ${saturationK} °C − ${temperatureK} °C = ${subcoolingK} K`,
  thePressureOfTheSuction:
    'The pressure of the suction line says at which temperature its last drop boils; how far the line is above that is the superheat.',
  superheatTSuctionT: 'superheat = T_suction − T_dew(p_gauge + p_air)',
  whatTheIndoorCoil: 'What the indoor coil takes from the air.',
  splitTReturnT: 'split = T_return − T_supply',
  whatTheIndoorCoilGives: 'What the indoor coil gives to the air.',
  splitTSupplyT: 'split = T_supply − T_return',
  saturationByOurFits:
    'saturation by our fits to published equations of state; ±3 °F and ±5 °F: California Residential Appendix RA3.2, ducted systems',
  after15MinutesOf:
    'After 15 minutes of steady running in the maker’s test mode. A variable-speed ductless unit has only its maker’s own targets.',
  levelShape: 'level',
  straightShape: 'straight',
  flatteningShape: 'flattening',
  flatteningWithClimb: 'flattening with a climb',
}
