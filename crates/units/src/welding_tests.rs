//! Checks of the kinds used at the welding machine, and that they took nothing from the rest.

use crate::*;

const INCH: Shop = Shop::INCH;
const METRIC: Shop = Shop::METRIC;
const NEW: [Kind; 4] = [Kind::Flow, Kind::Current, Kind::Voltage, Kind::HeatInput];

/// What `parse_any` answered for "1 " and each spelling (as listed, in small and in capital
/// letters) before gas flow, current, voltage and heat per length were added: kind, SI value
/// and the spellings, written out by the program as it was then.
const BEFORE: &str = "
Length 0.0254: in IN \" inch INCH inches INCHES ins INS
Length 0.3048: ft FT ' foot FOOT feet FEET
Length 0.001: mm MM millimetre MILLIMETRE millimeter MILLIMETER millimetres MILLIMETRES millimeters MILLIMETERS
Length 0.01: cm CM centimetre CENTIMETRE centimeter CENTIMETER centimetres CENTIMETRES centimeters CENTIMETERS
Length 1.0: m M metre METRE meter METER metres METRES meters METERS
Angle 0.017453292519943295: deg DEG ° degree DEGREE degrees DEGREES
Angle 1.0: rad RAD radian RADIAN radians RADIANS
Acceleration 9.80665: g G gee GEE gees GEES
Acceleration 0.3048: ft/s² FT/S² ft/s2 FT/S2 ft/s/s FT/S/S
Acceleration 1.0: m/s² M/S² m/s2 M/S2 m/s/s M/S/S
Mass 0.45359237: lb LB lbs LBS lbm LBM pound POUND pounds POUNDS
Mass 1.0: kg KG kgs KGS kilogram KILOGRAM kilograms KILOGRAMS kilo KILO kilos KILOS
Mass 0.028349523125: oz OZ ounce OUNCE ounces OUNCES
Mass 0.001: gram GRAM grams GRAMS
Force 4.4482216152605: lbf LBF
Force 1.0: N n newton NEWTON newtons NEWTONS
Force 1000.0: kN kn KN
Torque 1.3558179483314003: ft·lb FT·LB ft·lbf FT·LBF lb·ft LB·FT lbf·ft LBF·FT ftlb FTLB ftlbs FTLBS lbft LBFT ft·lbs FT·LBS lbs·ft LBS·FT foot·pounds FOOT·POUNDS
Torque 0.1129848290276167: in·lb IN·LB in·lbf IN·LBF lb·in LB·IN lbf·in LBF·IN inlb INLB inlbs INLBS lbin LBIN in·lbs IN·LBS lbs·in LBS·IN inch·pounds INCH·POUNDS
Torque 1.0: N·m n·m N·M Nm nm NM
Torque 1000.0: kN·m kn·m KN·M kNm knm KNM
Pressure 6894.757293168362: psi PSI psig PSIG lb/in2 LB/IN2 lbf/in2 LBF/IN2
Pressure 1000.0: kPa kpa KPA
Pressure 100000.0: bar BAR bars BARS
Pressure 100.0: mbar MBAR
Pressure 1000000.0: MPa mpa MPA N/mm2 n/mm2 N/MM2
Pressure 1000000000.0: GPa gpa GPA
Pressure 6894757.293168361: ksi KSI
Pressure 1.0: Pa pa PA N/m2 n/m2 N/M2
SpringRate 175.1268352464764: lb/in LB/IN lbf/in LBF/IN lbs/in LBS/IN lb/inch LB/INCH lbs/inch LBS/INCH
SpringRate 1000.0: N/mm n/mm N/MM kN/m kn/m KN/M
SpringRate 14.593902937206364: lb/ft LB/FT lbf/ft LBF/FT lbs/ft LBS/FT
SpringRate 1.0: N/m n/m N/M
Speed 0.44704: mph MPH mi/h MI/H
Speed 0.2777777777777778: km/h KM/H kph KPH kmh KMH
Speed 0.3048: ft/s FT/S fps FPS
Speed 1.0: m/s M/S
Time 1.0: s S sec SEC secs SECS second SECOND seconds SECONDS
Time 0.001: ms MS msec MSEC
Time 60.0: min MIN mins MINS minute MINUTE minutes MINUTES
Time 3600.0: h H hr HR hrs HRS hour HOUR hours HOURS
Ratio 0.01: % percent PERCENT pct PCT
Power 745.6998715822702: hp HP bhp BHP horsepower HORSEPOWER
Power 1000.0: kW kw KW
Power 1.0: W w watt WATT watts WATTS
Volume 0.003785411784: gal GAL gallon GALLON gallons GALLONS
Volume 0.001: L l litre LITRE liter LITER litres LITRES liters LITERS
Volume 0.000946352946: qt QT quart QUART quarts QUARTS
Volume 1.6387064e-5: in³ IN³ in3 IN3 cu·in CU·IN cubic·inches CUBIC·INCHES
Volume 0.028316846592: ft³ FT³ ft3 FT3 cu·ft CU·FT cubic·feet CUBIC·FEET
Volume 1e-6: cc CC cm3 CM3 ml ML
Volume 1.0: m³ M³ m3 M3
Temperature 255.92777777777778: °F °f F f deg·F deg·f DEG·F degF degf DEGF
Temperature 274.15: °C °c C c deg·C deg·c DEG·C degC degc DEGC
Temperature 1.0: K k kelvin KELVIN
AngleRatio 1.0: deg/deg DEG/DEG °/°
Slope 0.08333333333333333: in/ft IN/FT
Slope 0.001: mm/m MM/M
Slope 1.0: m/m M/M in/in IN/IN ft/ft FT/FT mm/mm MM/MM
RollStiffness 77.68264622747556: ft·lb/deg FT·LB/DEG ft·lbf/deg FT·LBF/DEG lb·ft/deg LB·FT/DEG lbf·ft/deg LBF·FT/DEG ft·lb/° FT·LB/° lb·ft/° LB·FT/°
RollStiffness 6.47355385228963: in·lb/deg IN·LB/DEG in·lbf/deg IN·LBF/DEG lb·in/deg LB·IN/DEG lbf·in/deg LBF·IN/DEG in·lb/° IN·LB/° lb·in/° LB·IN/°
RollStiffness 57.29577951308232: N·m/deg n·m/deg N·M/DEG Nm/deg nm/deg NM/DEG N·m/° n·m/° N·M/° Nm/° nm/° NM/°
RollStiffness 1.0: N·m/rad n·m/rad N·M/RAD Nm/rad nm/rad NM/RAD
RotationSpeed 0.10471975511965977: rpm RPM rev/min REV/MIN
RotationSpeed 1.0: rad/s RAD/S
Inertia 0.0421401100938048: lb·ft² LB·FT² lb·ft2 LB·FT2
Inertia 0.0002926396534292: lb·in² LB·IN² lb·in2 LB·IN2
Inertia 1.0: kg·m² KG·M² kg·m2 KG·M2
Frequency 1.0: Hz hz HZ hertz HERTZ
";

#[test]
fn old_spellings_read_as_before() {
    let mut read = 0;
    for line in BEFORE.lines().filter(|line| !line.is_empty()) {
        let (head, spellings) = line.split_once(": ").unwrap();
        let (kind, si) = head.split_once(' ').unwrap();
        let si: f64 = si.parse().unwrap();
        for spelling in spellings.split(' ') {
            let quantity = parse_any(&format!("1 {spelling}")).unwrap();
            assert_eq!(format!("{:?}", quantity.kind), kind, "1 {spelling}");
            assert_eq!(quantity.si.to_bits(), si.to_bits(), "1 {spelling}");
            read += 1;
        }
    }
    assert_eq!(read, 451);
}

/// However the letters are written, no spelling of a new kind, nor of a speed, is any
/// other kind's.
#[test]
fn new_spellings_belong_to_one_kind() {
    for kind in NEW.into_iter().chain([Kind::Speed]) {
        for spelling in spellings(kind) {
            for text in [
                spelling.to_owned(),
                spelling.to_lowercase(),
                spelling.to_uppercase(),
            ] {
                let text = format!("1 {text}");
                let reads: Vec<Kind> = Kind::ALL
                    .into_iter()
                    .filter(|k| parse(*k, &text).is_ok())
                    .collect();
                // A car's speed and a wire's share their SI unit; alone it is the car's.
                if kind == Kind::Speed && spelling == "m/s" {
                    assert_eq!(reads, [Kind::Speed, Kind::FeedSpeed]);
                } else {
                    assert_eq!(reads, [kind], "{text}");
                }
                assert_eq!(parse_any(&text).unwrap().kind, kind, "{text}");
            }
        }
    }
}

/// Foot 0.3048 m (1959), litre 1 dm³ (12th CGPM, 1964), the rest by definition.
#[test]
fn machine_settings_are_exact() {
    for (text, kind, si) in [
        ("35 ft³/h", Kind::Flow, 35.0 * 0.028_316_846_592 / 3600.0),
        ("35 ft3/h", Kind::Flow, 35.0 * 0.028_316_846_592 / 3600.0),
        ("35 ft^3/h", Kind::Flow, 35.0 * 0.028_316_846_592 / 3600.0),
        ("35 CFH", Kind::Flow, 35.0 * 0.028_316_846_592 / 3600.0),
        ("15 L/min", Kind::Flow, 0.000_25),
        ("15 l/min", Kind::Flow, 0.000_25),
        ("0.9 m³/h", Kind::Flow, 0.000_25),
        ("0.9 m3/h", Kind::Flow, 0.000_25),
        ("140 A", Kind::Current, 140.0),
        ("140A", Kind::Current, 140.0),
        ("140 amps", Kind::Current, 140.0),
        ("1 amp", Kind::Current, 1.0),
        ("18.5 V", Kind::Voltage, 18.5),
        ("18.5 volts", Kind::Voltage, 18.5),
        ("1 volt", Kind::Voltage, 1.0),
        ("25.4 kJ/in", Kind::HeatInput, 1e6),
        ("1 kJ/mm", Kind::HeatInput, 1e6),
        ("10 kJ/cm", Kind::HeatInput, 1e6),
        ("1000 J/mm", Kind::HeatInput, 1e6),
        ("1000000 J/m", Kind::HeatInput, 1e6),
        ("300 in/min", Kind::FeedSpeed, 0.127),
        ("300 ipm", Kind::FeedSpeed, 0.127),
        ("5 mm/s", Kind::FeedSpeed, 0.005),
        ("300 mm/min", Kind::FeedSpeed, 0.005),
        ("7.62 m/min", Kind::FeedSpeed, 0.127),
        ("1 mL", Kind::Volume, 1e-6),
        ("1 cm³", Kind::Volume, 1e-6),
    ] {
        let quantity = parse_any(text).unwrap_or_else(|e| panic!("{e}"));
        assert_eq!(quantity.kind, kind, "{text}");
        assert!(
            (quantity.si - si).abs() <= f64::EPSILON * si,
            "{text} read as {}, {si} expected",
            quantity.si
        );
    }
}

#[test]
fn machine_settings_as_a_shop_reads_them() {
    for (text, inch, metric) in [
        ("35 cfh", "35 ft³/h", "16.5 L/min"),
        ("15 L/min", "32 ft³/h", "15 L/min"),
        ("10 L/min", "21 ft³/h", "10 L/min"),
        ("0 L/min", "0 ft³/h", "0 L/min"),
        ("-0.01 L/min", "0 ft³/h", "0 L/min"),
        ("140.4 amps", "140 A", "140 A"),
        ("18.54 volts", "18.5 V", "18.5 V"),
        ("19 volts", "19.0 V", "19.0 V"),
        ("25 kJ/in", "25.0 kJ/in", "0.98 kJ/mm"),
        ("1.2 kJ/mm", "30.5 kJ/in", "1.20 kJ/mm"),
        ("300 in/min", "300 in/min", "127 mm/s"),
        ("12.5 ipm", "12.5 in/min", "5.3 mm/s"),
    ] {
        let Quantity { kind, si } = parse_any(text).unwrap();
        assert_eq!(format(kind, si, &INCH), inch, "{text}");
        assert_eq!(format(kind, si, &METRIC), metric, "{text}");
    }
    let litres = |number: f64| number / 60_000.0;
    assert_eq!(step(Kind::Flow, &METRIC), litres(0.1));
    assert_eq!(unit_name(Kind::Flow, &INCH), "ft³/h");
    assert_eq!(
        parse_typed(Kind::Flow, "15", &METRIC).unwrap(),
        litres(15.0)
    );
    assert_eq!(
        parse_typed(Kind::Flow, "35", &INCH),
        parse(Kind::Flow, "35 cfh")
    );
}

#[test]
fn machine_settings_in_files() {
    for (typed, file) in [
        ("35 cfh", "35 ft³/h"),
        ("15 l/min", "15 L/min"),
        ("16.5 L/min", "16.5 L/min"),
        ("140 amps", "140 A"),
        ("18.5 volts", "18.5 V"),
        ("25 kJ/in", "25 kJ/in"),
        ("1.2 kJ/mm", "1.2 kJ/mm"),
        ("300 ipm", "300 in/min"),
        ("5 mm/s", "5 mm/s"),
    ] {
        assert_eq!(parse_any(typed).unwrap().exact(), file);
    }
    let flow: Flow = ron::from_str("\"35 cfh\"").unwrap();
    assert_eq!(ron::to_string(&flow).unwrap(), "\"35 ft³/h\"");
    assert_eq!(Current::KIND, Kind::Current);
    assert_eq!(
        Voltage::from_si(18.0) + Voltage::from_si(0.5),
        "18.5 V".parse().unwrap()
    );
    assert_eq!(HeatInput::from_si(1e6), "1 kJ/mm".parse().unwrap());
}
