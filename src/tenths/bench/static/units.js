// Written by docs/make_typed_numbers.py from engine/units.py: change it there.
// @ts-check

/**
 * @typedef {{name: string, quantity: string, aliases: string[], factor: [string, string], offset: [string, string],
 *   comma: string, partOf: {unit: string, shift: number} | null}} Unit  exact ratios as two whole numbers
 */

/** @type {Unit[]} */
export const UNITS = [
  {"name": "in", "quantity": "length", "aliases": ["\"", "inch", "inches", "ins"], "factor": ["127", "5000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "thou", "quantity": "length", "aliases": ["thous", "thousandth", "thousandths"], "factor": ["127", "5000000"], "offset": ["0", "1"], "comma": "", "partOf": {"unit": "in", "shift": -3}},
  {"name": "tenths", "quantity": "length", "aliases": ["tenth"], "factor": ["127", "50000000"], "offset": ["0", "1"], "comma": "", "partOf": {"unit": "in", "shift": -4}},
  {"name": "µin", "quantity": "length", "aliases": ["uin", "microinch", "microinches", "millionths", "micro inch", "micro inches"], "factor": ["127", "5000000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "ft", "quantity": "length", "aliases": ["'", "foot", "feet"], "factor": ["381", "1250"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "mm", "quantity": "length", "aliases": ["millimetre", "millimetres", "millimeter", "millimeters"], "factor": ["1", "1000"], "offset": ["0", "1"], "comma": "decimal", "partOf": null},
  {"name": "cm", "quantity": "length", "aliases": ["centimetre", "centimetres", "centimeter", "centimeters"], "factor": ["1", "100"], "offset": ["0", "1"], "comma": "decimal", "partOf": null},
  {"name": "µm", "quantity": "length", "aliases": ["um", "µ", "micron", "microns", "micrometre", "micrometres", "micrometer", "micrometers"], "factor": ["1", "1000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "m", "quantity": "length", "aliases": ["metre", "metres", "meter", "meters"], "factor": ["1", "1"], "offset": ["0", "1"], "comma": "decimal", "partOf": null},
  {"name": "deg", "quantity": "angle", "aliases": ["°", "degs", "degree", "degrees"], "factor": ["314159265358979323846264338327950288419716939937511", "18000000000000000000000000000000000000000000000000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "arcmin", "quantity": "angle", "aliases": ["'", "min", "mins", "minute", "minutes"], "factor": ["314159265358979323846264338327950288419716939937511", "1080000000000000000000000000000000000000000000000000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "arcsec", "quantity": "angle", "aliases": ["\"", "sec", "secs", "second", "seconds"], "factor": ["314159265358979323846264338327950288419716939937511", "64800000000000000000000000000000000000000000000000000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "rad", "quantity": "angle", "aliases": ["radian", "radians"], "factor": ["1", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "cc", "quantity": "volume", "aliases": ["cm3", "cm³", "ccm", "ml", "millilitre", "millilitres", "milliliter", "milliliters", "cu cm"], "factor": ["1", "1000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "in3", "quantity": "volume", "aliases": ["in³", "cu in", "cubic in", "cubic inch", "cubic inches", "ci", "cid", "cu inch", "inch3", "inch³"], "factor": ["2048383", "125000000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "L", "quantity": "volume", "aliases": ["litre", "litres", "liter", "liters", "dm3", "dm³"], "factor": ["1", "1000"], "offset": ["0", "1"], "comma": "decimal", "partOf": null},
  {"name": "mm3", "quantity": "volume", "aliases": ["mm³"], "factor": ["1", "1000000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "m3", "quantity": "volume", "aliases": ["m³"], "factor": ["1", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "in2", "quantity": "area", "aliases": ["in²", "sq in", "square inch", "square inches"], "factor": ["16129", "25000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "mm2", "quantity": "area", "aliases": ["mm²", "sq mm"], "factor": ["1", "1000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "cm2", "quantity": "area", "aliases": ["cm²", "sq cm"], "factor": ["1", "10000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "m2", "quantity": "area", "aliases": ["m²", "sq m"], "factor": ["1", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "g", "quantity": "mass", "aliases": ["gram", "grams", "gm", "gms", "gramme", "grammes"], "factor": ["1", "1000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "kg", "quantity": "mass", "aliases": ["kilo", "kilos", "kilogram", "kilograms", "kgs"], "factor": ["1", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "mg", "quantity": "mass", "aliases": ["milligram", "milligrams"], "factor": ["1", "1000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "oz", "quantity": "mass", "aliases": ["ounce", "ounces", "ozs"], "factor": ["45359237", "1600000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "lb", "quantity": "mass", "aliases": ["lbs", "lbm", "pound", "pounds"], "factor": ["45359237", "100000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "lbf", "quantity": "force", "aliases": ["lb", "lbs", "pound", "pounds", "lbsf"], "factor": ["8896443230521", "2000000000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "N", "quantity": "force", "aliases": ["newton", "newtons"], "factor": ["1", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "kN", "quantity": "force", "aliases": ["kilonewton", "kilonewtons"], "factor": ["1000", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "daN", "quantity": "force", "aliases": ["decanewton", "decanewtons"], "factor": ["10", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "kgf", "quantity": "force", "aliases": ["kg", "kp", "kilo", "kilos"], "factor": ["196133", "20000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "lbf ft", "quantity": "torque", "aliases": ["lb ft", "lbs ft", "ft lb", "ft lbs", "ft lbf", "lbft", "ftlb", "ftlbs", "ftlbf", "lbfft", "foot pound", "foot pounds", "pound foot", "pound feet", "pounds feet"], "factor": ["3389544870828501", "2500000000000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "lbf in", "quantity": "torque", "aliases": ["lb in", "lbs in", "in lb", "in lbs", "in lbf", "lbin", "inlb", "inlbs", "inlbf", "lbfin", "inch pound", "inch pounds", "pound inch", "pound inches"], "factor": ["1129848290276167", "10000000000000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "N m", "quantity": "torque", "aliases": ["nm", "newton metre", "newton metres", "newton meter", "newton meters"], "factor": ["1", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "N cm", "quantity": "torque", "aliases": ["ncm"], "factor": ["1", "100"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "daN m", "quantity": "torque", "aliases": ["danm"], "factor": ["10", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "kgf m", "quantity": "torque", "aliases": ["kgfm", "kg m", "kgm", "mkg", "m kg", "kpm", "kp m", "mkp"], "factor": ["196133", "20000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "kgf cm", "quantity": "torque", "aliases": ["kgfcm", "kg cm", "kgcm"], "factor": ["196133", "2000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "psi", "quantity": "pressure", "aliases": ["lb/in2", "lbf/in2", "lb/in²", "lbf/in²", "lb/sq in", "lbs/sq in"], "factor": ["8896443230521", "1290320000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "ksi", "quantity": "pressure", "aliases": [], "factor": ["8896443230521", "1290320"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "bar", "quantity": "pressure", "aliases": ["bars"], "factor": ["100000", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "mbar", "quantity": "pressure", "aliases": ["millibar", "millibars"], "factor": ["100", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "Pa", "quantity": "pressure", "aliases": ["pascal", "pascals", "n/m2", "n/m²"], "factor": ["1", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "hPa", "quantity": "pressure", "aliases": [], "factor": ["100", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "kPa", "quantity": "pressure", "aliases": [], "factor": ["1000", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "MPa", "quantity": "pressure", "aliases": ["n/mm2", "n/mm²"], "factor": ["1000000", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "inHg", "quantity": "pressure", "aliases": ["in hg", "inches hg", "inch hg", "inches of mercury", "\"hg", "\" hg"], "factor": ["3386388640341", "1000000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "mmHg", "quantity": "pressure", "aliases": ["mm hg", "torr"], "factor": ["26664477483", "200000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "inH2O", "quantity": "pressure", "aliases": ["in h2o", "inches h2o", "inch h2o", "inches of water", "\"h2o", "\" h2o", "inwc"], "factor": ["24908891", "100000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "mmH2O", "quantity": "pressure", "aliases": ["mm h2o"], "factor": ["196133", "20000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "atm", "quantity": "pressure", "aliases": [], "factor": ["101325", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "kgf/cm2", "quantity": "pressure", "aliases": ["kg/cm2", "kgf/cm²", "kg/cm²"], "factor": ["196133", "2"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "°F", "quantity": "temperature", "aliases": ["f", "degf", "deg f", "° f", "fahrenheit"], "factor": ["5", "9"], "offset": ["45967", "100"], "comma": "", "partOf": null},
  {"name": "°C", "quantity": "temperature", "aliases": ["c", "degc", "deg c", "° c", "celsius", "centigrade"], "factor": ["1", "1"], "offset": ["5463", "20"], "comma": "", "partOf": null},
  {"name": "K", "quantity": "temperature", "aliases": ["kelvin"], "factor": ["1", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "°F", "quantity": "temperature difference", "aliases": ["f", "degf", "deg f", "° f", "fahrenheit"], "factor": ["5", "9"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "°C", "quantity": "temperature difference", "aliases": ["c", "degc", "deg c", "° c", "celsius", "centigrade"], "factor": ["1", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "K", "quantity": "temperature difference", "aliases": ["kelvin"], "factor": ["1", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "rpm", "quantity": "turning speed", "aliases": ["1/min", "min-1", "r/min", "rev/min", "revs", "u/min", "/min"], "factor": ["314159265358979323846264338327950288419716939937511", "3000000000000000000000000000000000000000000000000000"], "offset": ["0", "1"], "comma": "thousands", "partOf": null},
  {"name": "rad/s", "quantity": "turning speed", "aliases": [], "factor": ["1", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "lbf/in", "quantity": "stiffness", "aliases": ["lb/in", "lbs/in", "lbsf/in", "lb/inch", "lbs/inch", "lb per in", "lb per inch", "lbs per inch"], "factor": ["8896443230521", "50800000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "N/mm", "quantity": "stiffness", "aliases": ["n per mm"], "factor": ["1000", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "N/m", "quantity": "stiffness", "aliases": [], "factor": ["1", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "kgf/mm", "quantity": "stiffness", "aliases": ["kg/mm"], "factor": ["196133", "20"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "", "quantity": "ratio", "aliases": [], "factor": ["1", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "%", "quantity": "ratio", "aliases": ["percent", "pct", "per cent"], "factor": ["1", "100"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "", "quantity": "count", "aliases": [], "factor": ["1", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "s", "quantity": "time", "aliases": ["sec", "secs", "second", "seconds"], "factor": ["1", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "ms", "quantity": "time", "aliases": ["millisecond", "milliseconds"], "factor": ["1", "1000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "min", "quantity": "time", "aliases": ["mins", "minute", "minutes"], "factor": ["60", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "h", "quantity": "time", "aliases": ["hr", "hrs", "hour", "hours"], "factor": ["3600", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "g mm", "quantity": "unbalance", "aliases": ["gmm"], "factor": ["1", "1000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "g cm", "quantity": "unbalance", "aliases": ["gcm"], "factor": ["1", "100000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "g in", "quantity": "unbalance", "aliases": ["gin", "gram inch", "gram inches", "in g"], "factor": ["127", "5000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "oz in", "quantity": "unbalance", "aliases": ["ozin", "in oz", "ounce inch", "ounce inches"], "factor": ["5760623099", "8000000000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "kg m", "quantity": "unbalance", "aliases": ["kgm"], "factor": ["1", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "m/s", "quantity": "speed", "aliases": ["m per s"], "factor": ["1", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "ft/min", "quantity": "speed", "aliases": ["fpm"], "factor": ["127", "25000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "ft/s", "quantity": "speed", "aliases": ["fps"], "factor": ["381", "1250"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "km/h", "quantity": "speed", "aliases": ["kph", "kmh"], "factor": ["5", "18"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "mph", "quantity": "speed", "aliases": [], "factor": ["1397", "3125"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "m/s2", "quantity": "acceleration", "aliases": ["m/s²"], "factor": ["1", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "ft/s2", "quantity": "acceleration", "aliases": ["ft/s²"], "factor": ["381", "1250"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "g", "quantity": "acceleration", "aliases": ["gn"], "factor": ["196133", "20000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "kg cm2", "quantity": "moment of inertia", "aliases": ["kgcm2", "kg cm²"], "factor": ["1", "10000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "kg m2", "quantity": "moment of inertia", "aliases": ["kgm2", "kg m²"], "factor": ["1", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "kg mm2", "quantity": "moment of inertia", "aliases": ["kgmm2", "kg mm²"], "factor": ["1", "1000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "g cm2", "quantity": "moment of inertia", "aliases": ["gcm2", "g cm²"], "factor": ["1", "10000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "lb in2", "quantity": "moment of inertia", "aliases": ["lbin2", "lb in²", "lbs in2", "lbm in2"], "factor": ["731599133573", "2500000000000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "lb ft2", "quantity": "moment of inertia", "aliases": ["lbft2", "lb ft²", "lbs ft2", "lbm ft2"], "factor": ["6584392202157", "156250000000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "N m/rad", "quantity": "stiffness in torsion", "aliases": ["nm/rad"], "factor": ["1", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "kN m/rad", "quantity": "stiffness in torsion", "aliases": ["knm/rad"], "factor": ["1000", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "N m/deg", "quantity": "stiffness in torsion", "aliases": ["nm/deg", "n m/°", "nm/°"], "factor": ["18000000000000000000000000000000000000000000000000000", "314159265358979323846264338327950288419716939937511"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "lbf in/rad", "quantity": "stiffness in torsion", "aliases": ["lb in/rad", "lbs in/rad"], "factor": ["1129848290276167", "10000000000000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "lbf ft/rad", "quantity": "stiffness in torsion", "aliases": ["lb ft/rad", "lbs ft/rad"], "factor": ["3389544870828501", "2500000000000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "lbf ft/deg", "quantity": "stiffness in torsion", "aliases": ["lb ft/deg", "lbs ft/deg", "lbf ft/°"], "factor": ["2218611188178655200000000000000000000000000000000000", "28559933214452665804205848938904571674519721812501"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "mm2/s", "quantity": "viscosity", "aliases": ["mm²/s", "cst", "centistoke", "centistokes"], "factor": ["1", "1000000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "m2/s", "quantity": "viscosity", "aliases": ["m²/s"], "factor": ["1", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "mPa s", "quantity": "dynamic viscosity", "aliases": ["mpas", "cp", "centipoise"], "factor": ["1", "1000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "Pa s", "quantity": "dynamic viscosity", "aliases": ["pas"], "factor": ["1", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "kg/m3", "quantity": "density", "aliases": ["kg/m³", "g/l"], "factor": ["1", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "g/cm3", "quantity": "density", "aliases": ["g/cm³", "g/cc", "g/ml", "kg/l"], "factor": ["1000", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "lb/in3", "quantity": "density", "aliases": ["lb/in³", "lbs/in3"], "factor": ["56699046250", "2048383"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "cfm", "quantity": "flow of air", "aliases": ["ft3/min", "ft³/min", "cu ft/min", "cu ft per min", "cubic feet per minute"], "factor": ["18435447", "39062500000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "L/s", "quantity": "flow of air", "aliases": ["litre/s", "litres/s", "liter/s", "liters/s", "dm3/s", "dm³/s"], "factor": ["1", "1000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "L/min", "quantity": "flow of air", "aliases": ["lpm", "litre/min", "litres/min", "liter/min", "liters/min"], "factor": ["1", "60000"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "m3/h", "quantity": "flow of air", "aliases": ["m³/h", "m3/hr", "cbm/h"], "factor": ["1", "3600"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "m3/min", "quantity": "flow of air", "aliases": ["m³/min"], "factor": ["1", "60"], "offset": ["0", "1"], "comma": "", "partOf": null},
  {"name": "m3/s", "quantity": "flow of air", "aliases": ["m³/s"], "factor": ["1", "1"], "offset": ["0", "1"], "comma": "", "partOf": null},
];

/** @type {Record<string, number>} */
export const COMPOUND = {"ft|in": 12, "deg|arcmin": 60, "arcmin|arcsec": 60, "lb|oz": 16, "h|min": 60, "min|s": 60};

/** @type {Record<string, [string, string]>} */
export const DISPLAY = {"length": ["in", "mm"], "angle": ["deg", "deg"], "volume": ["cc", "cc"], "area": ["in2", "mm2"], "mass": ["g", "g"], "force": ["lbf", "N"], "torque": ["lbf ft", "N m"], "pressure": ["psi", "kPa"], "temperature": ["°F", "°C"], "temperature difference": ["°F", "°C"], "turning speed": ["rpm", "rpm"], "stiffness": ["lbf/in", "N/mm"], "ratio": ["", ""], "count": ["", ""], "time": ["s", "s"], "unbalance": ["oz in", "g mm"], "speed": ["ft/min", "m/s"], "acceleration": ["ft/s2", "m/s2"], "moment of inertia": ["lb in2", "kg cm2"], "stiffness in torsion": ["lbf ft/rad", "N m/rad"], "viscosity": ["mm2/s", "mm2/s"], "dynamic viscosity": ["mPa s", "mPa s"], "density": ["kg/m3", "kg/m3"], "flow of air": ["cfm", "L/s"]};

/** @type {Record<string, string>} */
export const EXAMPLES = {"length": "2.2485, 2 1/4, 21 tenths or 57.111 mm", "angle": "108.5, 108°30' or 12 deg", "volume": "64.2 cc or 3.92 in3", "area": "1.25 in2 or 806 mm2", "mass": "612.4 g or 21.6 oz", "force": "120 lbf or 530 N", "torque": "75 lbf ft or 101.7 N m", "pressure": "35 psi, 2.4 bar or 28 inH2O", "temperature": "68 °F or 20 °C", "temperature difference": "18 °F or 10 °C", "turning speed": "6500 rpm", "stiffness": "350 lbf/in or 61 N/mm", "ratio": "10.5 or 12.5 %", "count": "3", "time": "12.5 s or 3 min", "unbalance": "0.5 oz in or 360 g mm", "speed": "20 m/s or 3900 ft/min", "acceleration": "25000 m/s2 or 2500 g", "moment of inertia": "45.5 lb in2 or 133 kg cm2", "stiffness in torsion": "300000 N m/rad or 220000 lbf ft/rad", "viscosity": "92.5 mm2/s or 92.5 cSt", "dynamic viscosity": "3.7 mPa s or 3.7 cP", "density": "865 kg/m3 or 0.865 g/cm3", "flow of air": "145.5 cfm, 68.7 L/s or 247 m3/h"};

/** @type {Record<string, [string, string] | undefined>} */
export const FINE = {"length": ["µin", "µm"], "torque": ["lbf in", "N m"]};

/** @type {string[]} */
export const QUANTITIES = ["length", "angle", "volume", "area", "mass", "force", "torque", "pressure", "temperature", "temperature difference", "turning speed", "stiffness", "ratio", "count", "time", "unbalance", "speed", "acceleration", "moment of inertia", "stiffness in torsion", "viscosity", "dynamic viscosity", "density", "flow of air"];

/** @type {Record<string, string | undefined>} */
export const REFUSED = {"length|mil": "mil is said of a thou and of a millimetre; type thou or mm", "length|mils": "mil is said of a thou and of a millimetre; type thou or mm", "length|hundredth": "a hundredth of an inch or of a millimetre? Type in or mm", "length|hundredths": "a hundredth of an inch or of a millimetre? Type in or mm", "volume|mil": "mil is said of a millilitre and of a thou; type mL or cc", "volume|mils": "mil is said of a millilitre and of a thou; type mL or cc", "volume|gal": "the US and the imperial measure differ; type L, cc or in3", "volume|gallon": "the US and the imperial measure differ; type L, cc or in3", "volume|gallons": "the US and the imperial measure differ; type L, cc or in3", "volume|qt": "the US and the imperial measure differ; type L, cc or in3", "volume|qts": "the US and the imperial measure differ; type L, cc or in3", "volume|quart": "the US and the imperial measure differ; type L, cc or in3", "volume|quarts": "the US and the imperial measure differ; type L, cc or in3", "volume|pt": "the US and the imperial measure differ; type L, cc or in3", "volume|pint": "the US and the imperial measure differ; type L, cc or in3", "volume|pints": "the US and the imperial measure differ; type L, cc or in3", "volume|fl oz": "the US and the imperial measure differ; type L, cc or in3", "volume|oz": "the US and the imperial measure differ; type L, cc or in3", "mass|gr": "gr is said of grams and of grains; type g", "mass|grs": "gr is said of grams and of grains; type g", "mass|t": "tons differ from land to land; type kg or lb", "mass|ton": "tons differ from land to land; type kg or lb", "mass|tons": "tons differ from land to land; type kg or lb", "mass|tonne": "tons differ from land to land; type kg or lb", "temperature|°": "degrees of which scale? Type °F or °C", "temperature|deg": "degrees of which scale? Type °F or °C", "temperature|degs": "degrees of which scale? Type °F or °C", "temperature|degree": "degrees of which scale? Type °F or °C", "temperature|degrees": "degrees of which scale? Type °F or °C", "temperature difference|°": "degrees of which scale? Type °F or °C", "temperature difference|deg": "degrees of which scale? Type °F or °C", "temperature difference|degs": "degrees of which scale? Type °F or °C", "temperature difference|degree": "degrees of which scale? Type °F or °C", "temperature difference|degrees": "degrees of which scale? Type °F or °C", "pressure|psig": "whether a pressure is absolute or above the air's is not said by its unit; type psi", "pressure|psia": "whether a pressure is absolute or above the air's is not said by its unit; type psi", "pressure|mPa": "mPa is a thousandth of a pascal; type MPa, kPa or Pa", "mass|Mg": "Mg is a thousand kilograms; type mg or kg"};
