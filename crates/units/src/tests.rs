//! Checks of reading and writing against published factors and against each other.

use crate::*;

const INCH: Shop = Shop::INCH;
const METRIC: Shop = Shop::METRIC;

/// NIST Special Publication 811 (2008), appendix B.8, from memory: factors in full where
/// the tables print them bold (exact), else to the seven digits printed there. Gas flow,
/// heat per length and inches per minute: the conversions of AWS A1.1 (metric practice
/// guide for the welding industry), from memory, its L/min taken as 1/60000 m³/s. Damping
/// has no row there: its factor is that of pound-force per inch, the second being one second.
#[test]
fn factors_agree_with_nist_sp_811() {
    let table = [
        (Kind::Length, "in", 2.54e-2),
        (Kind::Length, "ft", 3.048e-1),
        (Kind::Length, "mm", 1e-3),
        (Kind::Length, "cm", 1e-2),
        (Kind::Length, "m", 1.0),
        (Kind::Angle, "deg", 1.745_329e-2),
        (Kind::Angle, "rad", 1.0),
        (Kind::Mass, "lb", 4.535_924e-1),
        (Kind::Mass, "oz", 2.834_952e-2),
        (Kind::Mass, "g", 1e-3),
        (Kind::Mass, "kg", 1.0),
        (Kind::Force, "lbf", 4.448_222),
        (Kind::Force, "N", 1.0),
        (Kind::Force, "kN", 1e3),
        (Kind::Torque, "ft·lb", 1.355_818),
        (Kind::Torque, "in·lb", 1.129_848e-1),
        (Kind::Torque, "N·m", 1.0),
        (Kind::Torque, "kN·m", 1e3),
        (Kind::Pressure, "psi", 6.894_757e3),
        (Kind::Pressure, "ksi", 6.894_757e6),
        (Kind::Pressure, "bar", 1e5),
        (Kind::Pressure, "mbar", 1e2),
        (Kind::Pressure, "inHg", 3386.389),
        (Kind::Pressure, "kPa", 1e3),
        (Kind::Pressure, "MPa", 1e6),
        (Kind::Pressure, "GPa", 1e9),
        (Kind::Pressure, "Pa", 1.0),
        (Kind::SpringRate, "lb/in", 1.751_268e2),
        (Kind::SpringRate, "lb/ft", 1.459_390e1),
        (Kind::SpringRate, "N/mm", 1e3),
        (Kind::SpringRate, "N/m", 1.0),
        (Kind::Speed, "mph", 4.4704e-1),
        (Kind::Speed, "km/h", 2.777_778e-1),
        (Kind::Speed, "ft/s", 3.048e-1),
        (Kind::Speed, "m/s", 1.0),
        (Kind::Acceleration, "g", 9.806_65),
        (Kind::Acceleration, "ft/s²", 3.048e-1),
        (Kind::Acceleration, "m/s²", 1.0),
        (Kind::Time, "s", 1.0),
        (Kind::Time, "ms", 1e-3),
        (Kind::Time, "min", 60.0),
        (Kind::Time, "h", 3600.0),
        (Kind::Ratio, "%", 1e-2),
        (Kind::Power, "hp", 7.456_999e2),
        (Kind::Power, "kW", 1e3),
        (Kind::Power, "W", 1.0),
        (Kind::Volume, "gal", 3.785_412e-3),
        (Kind::Volume, "qt", 9.463_529e-4),
        (Kind::Volume, "in³", 1.638_706e-5),
        (Kind::Volume, "ft³", 2.831_685e-2),
        (Kind::Volume, "L", 1e-3),
        (Kind::Volume, "cc", 1e-6),
        (Kind::Volume, "m³", 1.0),
        (Kind::AngleRatio, "%", 1e-2),
        (Kind::AngleRatio, "deg/deg", 1.0),
        (Kind::Slope, "%", 1e-2),
        (Kind::Slope, "in/ft", 1.0 / 12.0),
        (Kind::Slope, "mm/m", 1e-3),
        (Kind::Slope, "m/m", 1.0),
        (Kind::RollStiffness, "ft·lb/deg", 1.355_818 / 1.745_329e-2),
        (
            Kind::RollStiffness,
            "in·lb/deg",
            1.129_848e-1 / 1.745_329e-2,
        ),
        (Kind::RollStiffness, "N·m/deg", 1.0 / 1.745_329e-2),
        (Kind::RollStiffness, "N·m/rad", 1.0),
        (Kind::RotationSpeed, "rpm", 1.047_198e-1),
        (Kind::RotationSpeed, "rad/s", 1.0),
        (Kind::Inertia, "lb·ft²", 4.214_011e-2),
        (Kind::Inertia, "lb·in²", 2.926_397e-4),
        (Kind::Inertia, "kg·m²", 1.0),
        (Kind::Frequency, "Hz", 1.0),
        (Kind::FeedSpeed, "in/min", 4.233_333e-4),
        (Kind::FeedSpeed, "m/s", 1.0),
        (Kind::FeedSpeed, "mm/s", 1e-3),
        (Kind::FeedSpeed, "mm/min", 1.666_667e-5),
        (Kind::FeedSpeed, "m/min", 1.666_667e-2),
        (Kind::Flow, "ft³/h", 4.719_474e-1 * 1.666_667e-5),
        (Kind::Flow, "L/min", 1.666_667e-5),
        (Kind::Flow, "m³/h", 2.777_778e-4),
        (Kind::Flow, "m³/s", 1.0),
        (Kind::Current, "A", 1.0),
        (Kind::Voltage, "V", 1.0),
        (Kind::HeatInput, "kJ/in", 3.937_008e4),
        (Kind::HeatInput, "kJ/mm", 1e6),
        (Kind::HeatInput, "kJ/cm", 1e5),
        (Kind::HeatInput, "J/mm", 1e3),
        (Kind::HeatInput, "J/m", 1.0),
        (Kind::Damping, "lb·s/in", 1.751_268e2),
        (Kind::Damping, "N·s/mm", 1e3),
        (Kind::Damping, "N·s/m", 1.0),
        (Kind::Area, "ft²", 9.290_304e-2),
        (Kind::Area, "in²", 6.4516e-4),
        (Kind::Area, "cm²", 1e-4),
        (Kind::Area, "mm²", 1e-6),
        (Kind::Area, "m²", 1.0),
        (Kind::Density, "lb/in³", 27_679.904_710_203_12),
        (Kind::Density, "g/cm³", 1000.0),
        (Kind::Density, "kg/m³", 1.0),
    ];
    for (kind, unit, factor) in table {
        let si = parse(kind, &format!("1 {unit}")).unwrap();
        assert!(
            (si / factor - 1.0).abs() < 5.1e-7 * 2.0,
            "1 {unit} read as {si}, published {factor}"
        );
    }
    // Every unit of every kind is in the table above, but temperatures.
    for kind in Kind::ALL {
        for unit in accepted(kind) {
            let listed = table
                .iter()
                .any(|(k, name, _)| *k == kind && *name == unit.name);
            assert!(
                listed || unit.name.is_empty() || kind == Kind::Temperature,
                "{} has no published factor to check against",
                unit.name
            );
        }
    }
}

/// Exact by definition: yard and pound agreement 1959; 3rd CGPM 1901.
#[test]
fn defined_factors_are_exact() {
    let exactly = |kind, text, si: f64| assert_eq!(parse(kind, text).unwrap(), si, "{text}");
    exactly(Kind::Mass, "1 lb", 0.453_592_37);
    exactly(Kind::Force, "1 lbf", 4.448_221_615_260_5);
    exactly(Kind::Power, "1 hp", 745.699_871_582_270_2);
    exactly(Kind::Volume, "1 gal", 0.003_785_411_784);
    exactly(Kind::Speed, "100 mph", 44.704);
    exactly(Kind::Speed, "36 km/h", 10.0);
    exactly(Kind::Acceleration, "1 g", 9.806_65);
    exactly(Kind::Torque, "1 ft·lb", 1.355_817_948_331_400_4);
    exactly(Kind::Pressure, "1 bar", 100_000.0);
    exactly(Kind::Angle, "180 deg", std::f64::consts::PI);
    exactly(Kind::Temperature, "32 °F", 273.15);
    exactly(Kind::Temperature, "-40 °F", 233.15);
    exactly(Kind::Temperature, "−40 °C", 233.15);
    exactly(Kind::Temperature, "212 °F", 373.15);
    exactly(Kind::Temperature, "20 °C", 293.15);
}

#[test]
fn every_spelling_means_its_unit() {
    for kind in Kind::ALL {
        for unit in accepted(kind) {
            let value = parse(kind, &format!("2.5 {}", unit.name)).unwrap();
            for name in unit.also {
                for text in [format!("2.5 {name}"), format!("2.5{name}")] {
                    assert_eq!(
                        parse(kind, &text).ok(),
                        Some(value),
                        "{text} as {}",
                        unit.name
                    );
                }
            }
        }
    }
}

#[test]
fn a_tiny_ratio_comes_back_bit_for_bit() {
    let si = 4.928_674_348_443_546_5e-23;
    let text = Quantity::new(Kind::Ratio, si).exact();
    assert_eq!(
        parse_any(&text).map(|q| q.si.to_bits()),
        Ok(si.to_bits()),
        "{text}"
    );
}

#[test]
fn a_small_length_keeps_its_size_in_the_other_system() {
    let metric = Shop {
        system: System::Si,
        ..Shop::default()
    };
    let kept = |inches: f64, shop: &Shop| format_kept(Kind::Length, inches * 0.0254, shop);
    assert_eq!(kept(1.0 / 32.0, &metric), "0.79 mm");
    assert_eq!(kept(1.0 / 32.0, &Shop::default()), "1/32\"");
    assert_eq!(kept(0.0, &metric), "0 mm");
    // Far from nothing a millimetre is near enough.
    assert_eq!(kept(12.625, &metric), "321 mm");
}

#[test]
fn lengths_as_people_write_them() {
    let inches = |text: &str, value: f64| {
        let si = parse(Kind::Length, text).unwrap_or_else(|e| panic!("{e}"));
        assert_eq!(si, value * 254.0 / 10_000.0, "{text}");
    };
    for text in [
        "12 5/8 in",
        "12-5/8\"",
        "12 5/8\"",
        "12.625 in",
        "12 5/8 inches",
        "12⅝\"",
        "12 ⅝ in",
        "12-⅝ in",
        "  12   5/8   in  ",
        "12 5 / 8 in",
        "12 5⁄8 in",
        "12 5/8″",
        "12 5/8 IN",
        "12 5/8in",
        "12 5/8 in.",
        "12 5/8''",
        "12 5/8”",
        "1' 0 5/8\"",
        "1 ft 5/8 in",
        "1.262500e1 in",
        "12.625\u{a0}in",
        "13 - 3/8 in",
        "12 in + 5/8 in",
        "12 + 1/2 + 1/8 in",
        "10 + 2 5/8 in",
        "101/8 in",
        "1' + 5/8 in",
        "+12 5/8 in",
        "12 5/8 Inch",
    ] {
        inches(text, 12.625);
    }
    for text in [
        "1' 2 1/2\"",
        "1'2 1/2\"",
        "1′ 2 1/2″",
        "1'-2 1/2\"",
        "1 ft 2 1/2 in",
        "1 foot 2.5 inches",
        "1’ 2½”",
        "1' 2 1/2",
    ] {
        inches(text, 14.5);
    }
    inches("1 ft 2 in", 14.0);
    inches("9 feet 1 in", 109.0);
    inches("1'", 12.0);
    inches("½\"", 0.5);
    inches(".5 in", 0.5);
    inches("5. in", 5.0);
    for text in ["-1/2 in", "−1/2 in", "–1/2 in", "-0.5\"", "- 1/2 in"] {
        inches(text, -0.5);
    }
    inches("-1' 2 1/2\"", -14.5);
    inches("1 1/2 in - 2 in", -0.5);
    for text in [
        "320 mm",
        "32 cm",
        "0.32 m",
        "320mm",
        "3.2e2 mm",
        "0.2 m + 120 mm",
        "320 millimetres",
    ] {
        assert_eq!(parse(Kind::Length, text).unwrap(), 0.32, "{text}");
    }
    assert_eq!(parse(Kind::Length, "12 5/8 in").unwrap(), 0.320_675);
}

#[test]
fn typed_numbers_take_the_unit_of_the_shop() {
    let typed = |kind, text: &str, shop: &Shop| parse_typed(kind, text, shop).unwrap();
    assert_eq!(typed(Kind::Length, "3/16", &INCH), 0.004_762_5);
    assert_eq!(typed(Kind::Length, "3/16", &METRIC), 0.000_187_5);
    assert_eq!(typed(Kind::Length, "12-5/8", &INCH), 0.320_675);
    assert_eq!(typed(Kind::Length, "12 5/8", &INCH), 0.320_675);
    assert_eq!(typed(Kind::Length, "12.625", &INCH), 0.320_675);
    assert_eq!(typed(Kind::Length, "3 + 1/4", &INCH), 0.082_55);
    assert_eq!(typed(Kind::Length, "3+1/4", &INCH), 0.082_55);
    assert_eq!(
        typed(Kind::Length, "12 5/8 - 1/16 in", &METRIC),
        0.319_087_5
    );
    assert_eq!(typed(Kind::Length, "12 5/8 - 1/16", &INCH), 0.319_087_5);
    assert_eq!(typed(Kind::Length, "320 mm", &INCH), 0.32);
    assert_eq!(typed(Kind::Length, "320", &METRIC), 0.32);
    assert_eq!(typed(Kind::Mass, "3200", &INCH), 1_451.495_584);
    assert_eq!(typed(Kind::Mass, "1450", &METRIC), 1450.0);
    assert_eq!(typed(Kind::Ratio, "117", &INCH), 1.17);
    assert_eq!(typed(Kind::Angle, "180", &METRIC), std::f64::consts::PI);
    assert_eq!(typed(Kind::Temperature, "32", &INCH), 273.15);
    assert_eq!(typed(Kind::Count, "4.1", &INCH), 4.1);
}

#[test]
fn the_kind_follows_from_the_unit() {
    for (text, kind, si) in [
        ("117 %", Kind::Ratio, 1.17),
        ("3", Kind::Count, 3.0),
        ("3/4", Kind::Count, 0.75),
        ("2 lb", Kind::Mass, 0.907_184_74),
        ("1 lbf", Kind::Force, 4.448_221_615_260_5),
        ("1 g", Kind::Acceleration, 9.806_65),
        ("12 5/8\"", Kind::Length, 0.320_675),
        ("1' 2 1/2\"", Kind::Length, 0.3683),
        ("1 ft-lb", Kind::Torque, 1.355_817_948_331_400_4),
        ("1 ft lb", Kind::Torque, 1.355_817_948_331_400_4),
        ("1 lb·ft", Kind::Torque, 1.355_817_948_331_400_4),
        ("1 Nm", Kind::Torque, 1.0),
        ("1 m", Kind::Length, 1.0),
        ("1 min", Kind::Time, 60.0),
        ("1 m/s^2", Kind::Acceleration, 1.0),
        ("1 in^3", Kind::Volume, 0.000_016_387_064),
        ("180°", Kind::Angle, std::f64::consts::PI),
        ("0 °C", Kind::Temperature, 273.15),
    ] {
        let quantity = parse_any(text).unwrap_or_else(|e| panic!("{e}"));
        assert_eq!((quantity.kind, quantity.si), (kind, si), "{text}");
    }
    assert_eq!(parse(Kind::Ratio, "1.17").unwrap(), 1.17);
    assert_eq!(parse(Kind::Mass, "450 g").unwrap(), 0.45);
}

/// What a slip of the finger is told.
#[test]
fn nonsense_gets_a_pointed_answer() {
    for (kind, text, part) in [
        (Kind::Length, "", "nothing is written"),
        (Kind::Length, "  \t ", "nothing is written"),
        (
            Kind::Length,
            "12",
            "a bare number where a length is needed; write it like \"12 5/8 in\"",
        ),
        (Kind::Length, "12 lb", "lb is a weight, a length is needed"),
        (Kind::Mass, "12 in", "in is a length, a weight is needed"),
        (Kind::Length, "12 inn", "did you mean \"in\"?"),
        (Kind::Length, "12 inchs", "did you mean \"inch"),
        (Kind::SpringRate, "150 lb/im", "did you mean \"lb/in\"?"),
        (
            Kind::Length,
            "12 parsecs",
            "\"parsecs\" is not a unit known here",
        ),
        (Kind::Length, "12,5 mm", "a comma is not used"),
        (Kind::Length, "1,200 mm", "a comma is not used"),
        (Kind::Length, "1/0 in", "0 below the line"),
        (Kind::Length, "12 0/0 in", "0 below the line"),
        (
            Kind::Length,
            "12 9/8 in",
            "9/8 after a whole number is more than one whole",
        ),
        (Kind::Length, "1.5/2 in", "whole numbers above and below"),
        (Kind::Length, "12.5 1/8 in", "two numbers"),
        (Kind::Length, "12 13 in", "two numbers"),
        (Kind::Length, "12 in 13 in", "two numbers"),
        (Kind::Length, "1/2 1/4 in", "two numbers"),
        (Kind::Length, "1' 2'", "two numbers"),
        (Kind::Length, "in", "\"in\" is not a number"),
        (Kind::Length, "in 12", "\"in\" is not a number"),
        (Kind::Length, "abc", "\"abc\" is not a number"),
        (Kind::Length, "NaN in", "is not a number"),
        (Kind::Length, "inf m", "is not a number"),
        (Kind::Length, ".", "is not a number"),
        (Kind::Length, "-", "a number is missing after \"-\""),
        (Kind::Length, "1.2.3 in", "\"1.2.3\" is not a number"),
        (
            Kind::Length,
            "12 in +",
            "a number is missing after \"12 in +\"",
        ),
        (Kind::Length, "--5 in", "a number is missing"),
        (Kind::Length, "12-5 in", "the dash could join or subtract"),
        (
            Kind::Length,
            "12 -5/8 in",
            "the dash could join or subtract",
        ),
        (
            Kind::Length,
            "12- 5/8 in",
            "the dash could join or subtract",
        ),
        (
            Kind::Length,
            "12 in -5 in",
            "the dash could join or subtract",
        ),
        (Kind::Length, "5' - 6\"", "after feet a dash"),
        (Kind::Length, "1e999 m", "too large"),
        (
            Kind::Length,
            "1+1+1+1+1+1+1+1+1 in",
            "too many terms (at most 8)",
        ),
        (
            Kind::Temperature,
            "1 °C + 2 °C",
            "a temperature cannot be written as a sum",
        ),
        (Kind::Length, "/2 in", "is not a number"),
        (Kind::Length, "5/ in", "is not a unit known here"),
        (
            Kind::Count,
            "3 in",
            "in is a length, a plain number is needed",
        ),
        (Kind::Length, "🚗", "is not a number"),
        (
            Kind::Flow,
            "35",
            "a bare number where a gas flow is needed; write it like \"35 ft³/h\"",
        ),
        (Kind::Flow, "35 A", "A is a current, a gas flow is needed"),
        (
            Kind::Flow,
            "35 ft³",
            "ft³ is a volume, a gas flow is needed",
        ),
        (Kind::Flow, "15 L/mim", "did you mean \"L/min\"?"),
        (Kind::Current, "18 V", "V is a voltage, a current is needed"),
        (Kind::Current, "140 ampz", "did you mean \"amp"),
        (Kind::Voltage, "18 W", "W is a power, a voltage is needed"),
        (Kind::Voltage, "18 voltz", "did you mean \"volt"),
        (
            Kind::HeatInput,
            "1 N/mm",
            "N/mm is a spring rate, a heat per length is needed",
        ),
        (Kind::HeatInput, "1 kJ/inn", "did you mean \"kJ/in\"?"),
        (
            Kind::Speed,
            "300 cfh",
            "cfh is a gas flow, a speed is needed",
        ),
        (
            Kind::Damping,
            "12",
            "a bare number where a damping is needed; write it like \"12 lb·s/in\"",
        ),
        (
            Kind::Damping,
            "12 lbs/in",
            "lbs/in is a spring rate, a damping is needed",
        ),
        (Kind::Damping, "12 lb·s/im", "did you mean \"lb·s/in\"?"),
        (
            Kind::Area,
            "22",
            "a bare number where an area is needed; write it like \"22.5 ft²\"",
        ),
        (Kind::Area, "22 ft", "ft is a length, an area is needed"),
        (Kind::Area, "22 ft³", "ft³ is a volume, an area is needed"),
        (
            Kind::Pressure,
            "30 in²",
            "in² is an area, a pressure is needed",
        ),
    ] {
        let error = parse(kind, text).expect_err(text);
        let message = error.to_string();
        assert!(message.contains(part), "{text:?} was told: {message}");
        assert!(
            message.contains(kind.example()),
            "{text:?} was told: {message}"
        );
        assert!(error.at.is_none_or(|at| text.is_char_boundary(at)));
    }
    let long = "1".repeat(65);
    assert!(matches!(
        parse(Kind::Count, &long).expect_err("long").reason,
        Reason::TooLong {
            chars: 65,
            limit: 64
        }
    ));
    assert_eq!(parse(Kind::Length, "12 lb").expect_err("wrong").at, Some(3));
    let unknown = parse_any("12 inchs").expect_err("unknown").to_string();
    assert!(unknown.contains("did you mean \"inch"), "{unknown}");
}

#[test]
fn files_hold_what_a_person_would_write() {
    for (kind, si, text) in [
        (Kind::Length, 0.320_675, "12 5/8 in"),
        (Kind::Length, 0.32, "320 mm"),
        (Kind::Length, 0.0, "0 in"),
        (Kind::Length, -0.0127, "-1/2 in"),
        (Kind::Length, 2.7686, "109 in"),
        (Kind::Length, 0.001_549_4, "0.061 in"),
        (Kind::Length, 0.1, "100 mm"),
        (Kind::Length, 1.234_567_890_1, "1.2345678901 m"),
        (Kind::Mass, 1450.0, "1450 kg"),
        (Kind::Mass, 1_451.495_584, "3200 lb"),
        (Kind::Angle, 2.3_f64.to_radians(), "2.3 deg"),
        (Kind::Ratio, 1.17, "117 %"),
        (Kind::Ratio, 0.655, "65.5 %"),
        (Kind::SpringRate, 26_000.0, "26 N/mm"),
        (Kind::Count, 4.1, "4.1"),
        (Kind::Temperature, 293.15, "68 °F"),
        (Kind::Acceleration, 9.806_65, "1 g"),
        (Kind::Pressure, 205e9, "205000 MPa"),
    ] {
        assert_eq!(exact(kind, si), text);
        assert_eq!(parse(kind, text).unwrap().to_bits(), si.to_bits(), "{text}");
    }
}

#[test]
fn screens_show_shop_numbers() {
    let show = |kind, si, shop: &Shop| format(kind, si, shop);
    let inch = |v: f64| Length::from_inches(v).si();
    assert_eq!(show(Kind::Length, inch(43.75), &INCH), "43 3/4\"");
    assert_eq!(show(Kind::Length, inch(10.0), &INCH), "10\"");
    assert_eq!(show(Kind::Length, inch(-0.5), &INCH), "-1/2\"");
    assert_eq!(show(Kind::Length, inch(109.0), &INCH), "109\"");
    assert_eq!(show(Kind::Length, -0.0001, &INCH), "0\"");
    assert_eq!(show(Kind::Length, -0.0, &INCH), "0\"");
    assert_eq!(show(Kind::Length, 1.1111, &METRIC), "1111 mm");
    assert_eq!(show(Kind::Length, -0.0001, &METRIC), "0 mm");
    assert_eq!(show(Kind::Length, f64::NAN, &INCH), "—");
    assert_eq!(show(Kind::Mass, f64::INFINITY, &INCH), "—");
    assert_eq!(show(Kind::Ratio, 1.17, &INCH), "117 %");
    assert_eq!(show(Kind::AngleRatio, 0.041, &INCH), "4.1 %");
    assert_eq!(show(Kind::Angle, 2.3_f64.to_radians(), &INCH), "2.3°");
    assert_eq!(show(Kind::Mass, 1_451.495_584, &INCH), "3200 lb");
    assert_eq!(show(Kind::Mass, 1450.0, &METRIC), "1450 kg");
    assert_eq!(show(Kind::Force, 4448.2, &INCH), "1000 lb");
    assert_eq!(show(Kind::Temperature, 293.15, &INCH), "68 °F");
    assert_eq!(show(Kind::Count, 4.1, &INCH), "4.1");
    assert_eq!(show(Kind::Count, 3.0, &INCH), "3");
    assert_eq!(format_bare(Kind::Length, inch(19.5), &INCH), "19 1/2");
    assert_eq!(format_bare(Kind::Ratio, 1.17, &INCH), "117");
    assert_eq!(format_fine(Kind::Length, inch(0.061), &INCH), "0.061\"");
    assert_eq!(format_fine(Kind::Length, 0.001_549_4, &METRIC), "1.55 mm");
    assert_eq!(format_feet(inch(14.5), &INCH), "1' 2 1/2\"");
    assert_eq!(format_feet(inch(-14.5), &INCH), "-1' 2 1/2\"");
    assert_eq!(format_feet(inch(108.0), &INCH), "9'");
    assert_eq!(format_feet(inch(11.0), &INCH), "11\"");
    assert_eq!(unit_name(Kind::Length, &INCH), "in");
    assert_eq!(unit_name(Kind::Length, &METRIC), "mm");
    assert_eq!(unit_name(Kind::Force, &INCH), "lb");
    assert_eq!(step(Kind::Length, &INCH), 0.001_587_5);
    assert_eq!(step(Kind::Length, &METRIC), 0.001);
    assert_eq!(step(Kind::Angle, &INCH), 0.1_f64.to_radians());
    let fine = |fraction| Shop { fraction, ..INCH };
    let value = inch(27.0 + 35.0 / 64.0);
    assert_eq!(
        show(Kind::Length, value, &fine(Fraction::SixtyFourth)),
        "27 35/64\""
    );
    assert_eq!(
        show(Kind::Length, value, &fine(Fraction::Decimal)),
        "27.547\""
    );
}

#[test]
fn files_read_back_through_serde() {
    #[derive(Debug, PartialEq, serde::Serialize, serde::Deserialize)]
    struct Part {
        height: Length,
        mass: Mass,
        share: Ratio,
        band: Option<Quantity>,
        shop: Shop,
    }
    let part = Part {
        height: Length::from_si(0.320_675),
        mass: Mass::from_si(1450.0),
        share: Ratio::from_si(0.655),
        band: Some(Quantity::new(Kind::AngleRatio, 0.041)),
        shop: Shop::default(),
    };
    let text = ron::to_string(&part).unwrap();
    assert!(text.contains("height:\"12 5/8 in\""), "{text}");
    assert!(text.contains("mass:\"1450 kg\""), "{text}");
    assert!(text.contains("\"0.041 deg/deg\""), "{text}");
    assert_eq!(ron::from_str::<Part>(&text).unwrap(), part);
    let json = serde_json::to_string(&part).unwrap();
    assert_eq!(serde_json::from_str::<Part>(&json).unwrap(), part);

    for bare in ["12.5", "12", "-3"] {
        let message = ron::from_str::<Length>(bare).unwrap_err().to_string();
        assert!(
            message.contains(
                "a bare number where a length is needed: write it with its unit, e.g. \"12 5/8 in\""
            ),
            "{message}"
        );
    }
    let wrong = ron::from_str::<Length>("\"12 lb\"")
        .unwrap_err()
        .to_string();
    assert!(
        wrong.contains("lb is a weight, a length is needed"),
        "{wrong}"
    );
    assert_eq!(
        ron::from_str::<Ratio>("0.655").unwrap(),
        Ratio::from_si(0.655)
    );
    assert!(ron::to_string(&Length::from_si(f64::NAN)).is_err());
    assert!(ron::from_str::<Length>("true").is_err());
}

#[test]
fn newtypes_hold_si() {
    assert_eq!(Length::from_inches(12.625).si(), 0.320_675);
    assert_eq!(
        "12 5/8 in".parse::<Length>().unwrap(),
        Length::from_inches(12.625)
    );
    assert_eq!(Length::from_mm(320.0).si(), 0.32);
    assert_eq!((Length::from_mm(3.0) - Length::from_mm(5.0)).mm(), -2.0);
    assert_eq!((-Length::from_mm(3.0) + Length::from_mm(5.0)).mm(), 2.0);
    assert_eq!(Angle::from_degrees(2.3), "2.3 deg".parse().unwrap());
    assert_eq!(Length::from_inches(0.5).to_string(), "1/2 in");
    assert_eq!(Length::KIND, Kind::Length);
    assert_eq!(Length::default(), Length::ZERO);
    const HALF: Length = Length::from_inches(0.5);
    assert_eq!(HALF.inches(), 0.5);
}

/// Numbers for tables and fields: display units without rounding, and back.
#[test]
fn display_values_are_plain_numbers() {
    for (kind, si, shop, number) in [
        (Kind::Length, 0.320_675, INCH, 12.625),
        (Kind::Length, 0.320_675, METRIC, 320.675),
        (Kind::Ratio, 1.17, INCH, 117.0),
        (Kind::Temperature, 293.15, INCH, 68.0),
        (Kind::Force, 4.448_221_615_260_5, INCH, 1.0),
    ] {
        assert!((display_value(kind, si, &shop) - number).abs() < 1e-9);
        assert!((from_display_value(kind, number, &shop) - si).abs() < 1e-9);
    }
}

#[test]
fn a_taped_value_keeps_its_own_fineness() {
    let shop = Shop::INCH;
    let show = |text: &str| format_kept(Kind::Length, parse(Kind::Length, text).unwrap(), &shop);
    assert_eq!(show("1/32 in"), "1/32\"");
    assert_eq!(show("12 5/8 in"), "12 5/8\"");
    assert_eq!(show("7/64 in"), "7/64\"");
    assert_eq!(show("1.125 in"), "1 1/8\"");
    assert_eq!(show("0.063 in"), "0.063\"");
    // No fraction gives 320 mm back: it is rounded to the tape.
    assert_eq!(show("320 mm"), format(Kind::Length, 0.32, &shop));
    assert_eq!(format_kept(Kind::Length, 0.0125, &Shop::METRIC), "12.5 mm");
    assert_eq!(format_kept(Kind::Mass, 100.4, &Shop::METRIC), "100.4 kg");
    assert_eq!(format_kept(Kind::Ratio, 0.515, &shop), "51.5 %");
    assert_eq!(format_kept(Kind::Ratio, 1.0 / 3.0, &shop), "33 %");
}
