//! Checks of damping and area, and that they took nothing from the rest.

use crate::*;

const INCH: Shop = Shop::INCH;
const METRIC: Shop = Shop::METRIC;

/// What `parse_any` answered for the spellings of the welding kinds before damping and area
/// were added, written out by the program as it was then. The older kinds' table is in
/// `welding_tests`.
const BEFORE: &str = "
Flow 7.86579072e-6: ft³/h FT³/H ft3/h FT3/H cfh CFH
Flow 1.6666666666666667e-5: L/min l/min L/MIN
Flow 0.0002777777777777778: m³/h M³/H m3/h M3/H
Flow 1.0: m³/s M³/S m3/s M3/S
Current 1.0: A a amp AMP amps AMPS
Voltage 1.0: V v volt VOLT volts VOLTS
HeatInput 39370.07874015748: kJ/in kj/in KJ/IN
HeatInput 1000000.0: kJ/mm kj/mm KJ/MM
HeatInput 100000.0: kJ/cm kj/cm KJ/CM
HeatInput 1000.0: J/mm j/mm J/MM
HeatInput 1.0: J/m j/m J/M
FeedSpeed 0.00042333333333333334: in/min IN/MIN ipm IPM
FeedSpeed 0.001: mm/s MM/S
FeedSpeed 1.6666666666666667e-5: mm/min MM/MIN
FeedSpeed 0.016666666666666666: m/min M/MIN
";

#[test]
fn welding_spellings_read_as_before() {
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
    assert_eq!(read, 54);
}

/// However the letters are written, no spelling of a damping or an area is another kind's.
#[test]
fn spellings_belong_to_one_kind() {
    for kind in [Kind::Damping, Kind::Area, Kind::Density] {
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
                assert_eq!(reads, [kind], "{text}");
                assert_eq!(parse_any(&text).unwrap().kind, kind, "{text}");
            }
        }
    }
}

/// Foot 0.3048 m, inch 0.0254 m, pound-force 4.448 221 615 260 5 N, all exact (1959; 1901).
#[test]
fn values_are_exact() {
    let pound = 4.448_221_615_260_5 / 0.0254;
    for (text, kind, si) in [
        ("1500 N·s/m", Kind::Damping, 1500.0),
        ("1500 N*s/m", Kind::Damping, 1500.0),
        ("1500 N-s/m", Kind::Damping, 1500.0),
        ("1500 Ns/m", Kind::Damping, 1500.0),
        ("1.5 N·s/mm", Kind::Damping, 1500.0),
        ("1.5 N*s/mm", Kind::Damping, 1500.0),
        ("12 lb·s/in", Kind::Damping, 12.0 * pound),
        ("12 lb-s/in", Kind::Damping, 12.0 * pound),
        ("12lb-s/in", Kind::Damping, 12.0 * pound),
        ("12 lb*s/in", Kind::Damping, 12.0 * pound),
        ("12 lbf·s/in", Kind::Damping, 12.0 * pound),
        ("12 lbf-s/in", Kind::Damping, 12.0 * pound),
        ("12 LB·S/IN", Kind::Damping, 12.0 * pound),
        // Without the dot it stays the pounds per inch of a spring.
        ("12 lbs/in", Kind::SpringRate, 12.0 * pound),
        ("2.1 m²", Kind::Area, 2.1),
        ("2.1 m2", Kind::Area, 2.1),
        ("2.1 m^2", Kind::Area, 2.1),
        ("2.1m²", Kind::Area, 2.1),
        ("100 ft²", Kind::Area, 9.290_304),
        ("100 ft2", Kind::Area, 9.290_304),
        ("100 in²", Kind::Area, 0.064_516),
        ("100 in2", Kind::Area, 0.064_516),
        ("1/2 in²", Kind::Area, 0.000_322_58),
        ("250 cm²", Kind::Area, 0.025),
        ("250 cm2", Kind::Area, 0.025),
        ("250 mm²", Kind::Area, 0.000_25),
        ("250 mm2", Kind::Area, 0.000_25),
    ] {
        let quantity = parse_any(text).unwrap_or_else(|e| panic!("{e}"));
        assert_eq!(quantity.kind, kind, "{text}");
        // The pound's expected value is itself rounded twice.
        assert!(
            (quantity.si - si).abs() <= 2.0 * f64::EPSILON * si,
            "{text} read as {}, {si} expected",
            quantity.si
        );
    }
}

#[test]
fn values_as_a_shop_reads_them() {
    for (text, inch, metric) in [
        ("12 lb·s/in", "12.0 lb·s/in", "2102 N·s/m"),
        ("8.56 lb-s/in", "8.6 lb·s/in", "1499 N·s/m"),
        ("1500 N·s/m", "8.6 lb·s/in", "1500 N·s/m"),
        ("-0.1 N·s/m", "0.0 lb·s/in", "0 N·s/m"),
        ("22.5 ft²", "22.50 ft²", "2.09 m²"),
        ("2.1 m²", "22.60 ft²", "2.10 m²"),
        ("144 in²", "1.00 ft²", "0.09 m²"),
        // Steel: 7850 kg/m³ is 0.2836 lb/in³ (handbook value, from memory).
        ("7850 kg/m³", "0.284 lb/in³", "7850 kg/m³"),
    ] {
        let Quantity { kind, si } = parse_any(text).unwrap();
        assert_eq!(format(kind, si, &INCH), inch, "{text}");
        assert_eq!(format(kind, si, &METRIC), metric, "{text}");
    }
    assert_eq!(unit_name(Kind::Damping, &INCH), "lb·s/in");
    assert_eq!(unit_name(Kind::Damping, &METRIC), "N·s/m");
    assert_eq!(unit_name(Kind::Area, &INCH), "ft²");
    assert_eq!(unit_name(Kind::Area, &METRIC), "m²");
    assert_eq!(step(Kind::Damping, &METRIC), 1.0);
    assert_eq!(step(Kind::Area, &METRIC), 0.01);
    assert_eq!(parse_typed(Kind::Area, "2.1", &METRIC), Ok(2.1));
    assert_eq!(
        parse_typed(Kind::Damping, "12", &INCH),
        parse(Kind::Damping, "12 lb·s/in")
    );
}

#[test]
fn values_in_files() {
    for (typed, file) in [
        ("12 lb-s/in", "12 lb·s/in"),
        ("1500 Ns/m", "1500 N·s/m"),
        ("1.5 N·s/mm", "1500 N·s/m"),
        ("22.5 ft2", "22.5 ft²"),
        ("2.1 m2", "2.1 m²"),
        ("0.75 in2", "0.75 in²"),
        ("3 cm²", "300 mm²"),
        ("7.85 g/cm3", "7850 kg/m³"),
        ("0.284 lb/in3", "0.284 lb/in³"),
    ] {
        assert_eq!(parse_any(typed).unwrap().exact(), file);
    }
    let damping: Damping = ron::from_str("\"12 lbf-s/in\"").unwrap();
    assert_eq!(ron::to_string(&damping).unwrap(), "\"12 lb·s/in\"");
    assert_eq!(
        Damping::from_si(1000.0) + Damping::from_si(500.0),
        "1.5 N·s/mm".parse().unwrap()
    );
    assert_eq!(Area::from_si(2.1), "2.1 m²".parse().unwrap());
    assert_eq!(Area::KIND, Kind::Area);
    assert_eq!(Kind::Damping.noun(), "a damping");
    assert_eq!(Kind::Area.noun(), "an area");
    assert_eq!(Kind::Damping.si_unit(), "N·s/m");
    assert_eq!(Kind::Area.si_unit(), "m²");
}
