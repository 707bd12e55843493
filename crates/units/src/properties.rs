//! What holds of every text and every number.

use crate::*;
use proptest::prelude::*;

const INCH: Shop = Shop::INCH;
const METRIC: Shop = Shop::METRIC;

fn shops() -> Vec<Shop> {
    let mut all = Vec::new();
    for system in [System::InchPound, System::Si] {
        for fraction in [
            Fraction::Sixteenth,
            Fraction::ThirtySecond,
            Fraction::SixtyFourth,
            Fraction::Decimal,
        ] {
            all.push(Shop { system, fraction });
        }
    }
    all
}

fn any_kind() -> impl Strategy<Value = Kind> {
    proptest::sample::select(Kind::ALL.to_vec())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn files_keep_every_bit(kind in any_kind(), si in any::<f64>().prop_filter("finite", |v| v.is_finite())) {
        let text = exact(kind, si);
        prop_assert_eq!(parse(kind, &text).map(f64::to_bits), Ok(si.to_bits()), "{}", text);
        let quantity = Quantity::new(kind, si);
        let text = quantity.exact();
        let back = parse_any(&text).map(|q| (q.kind, q.si.to_bits()));
        prop_assert_eq!(back, Ok((kind, si.to_bits())), "{}", text);
    }

    #[test]
    fn files_keep_every_bit_of_workshop_sizes(kind in any_kind(), si in -1.0e4..1.0e4_f64) {
        let text = exact(kind, si);
        prop_assert_eq!(parse(kind, &text).map(f64::to_bits), Ok(si.to_bits()), "{}", text);
    }

    #[test]
    fn files_keep_what_was_typed(kind in any_kind(), n in -99_999_i32..99_999, places in 0_u32..4) {
        let value = f64::from(n) / 10_f64.powi(places.cast_signed());
        for unit in accepted(kind) {
            let si = parse(kind, &format!("{value} {}", unit.name)).unwrap();
            prop_assert_eq!(parse(kind, &exact(kind, si)).map(f64::to_bits), Ok(si.to_bits()));
        }
    }

    #[test]
    fn displays_are_within_half_a_step(kind in any_kind(), si in -1.0e4..1.0e4_f64) {
        for shop in shops() {
            let text = format(kind, si, &shop);
            let back = parse(kind, &text);
            prop_assert!(back.is_ok(), "{}", text);
            let error = (back.unwrap() - si).abs();
            let half = step(kind, &shop) / 2.0;
            prop_assert!(error <= half + 1e-9 * half + 4.0 * f64::EPSILON * si.abs().max(300.0), "{} off by {}", text, error);
            prop_assert!(!text.starts_with("-0 ") && !text.starts_with("-0\"") && text != "-0");
            let typed = parse_typed(kind, &format_bare(kind, si, &shop), &shop);
            prop_assert_eq!(typed, parse(kind, &text));
        }
    }

    #[test]
    fn tape_readings_are_kept_exactly(n in -200_000_i32..200_000) {
        for fraction in [Fraction::Sixteenth, Fraction::ThirtySecond, Fraction::SixtyFourth] {
            let shop = Shop { system: System::InchPound, fraction };
            let inches = f64::from(n) / f64::from(fraction.denominator().unwrap());
            let si = Length::from_inches(inches).si();
            prop_assert_eq!(parse(Kind::Length, &format(Kind::Length, si, &shop)), Ok(si));
            prop_assert_eq!(parse(Kind::Length, &format_feet(si, &shop)), Ok(si));
            prop_assert_eq!(exact(Kind::Length, si).ends_with(" in"), true);
        }
    }

    #[test]
    fn no_text_breaks_the_reader(kind in any_kind(), text in ".{0,80}", near in "[-+−0-9 ./'\"½⅝,eE°%inftlbAVkJh³m·²Ns*]{0,40}") {
        for text in [text, near] {
            for shop in [INCH, METRIC] {
                for si in [parse(kind, &text), parse_typed(kind, &text, &shop), parse_any(&text).map(|q| q.si)] {
                    match si {
                        Ok(si) => prop_assert!(si.is_finite()),
                        Err(error) => {
                            prop_assert!(!error.to_string().is_empty());
                            prop_assert!(error.at.is_none_or(|at| at <= text.len()));
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn no_number_breaks_the_writer(kind in any_kind(), si in any::<f64>()) {
        for shop in shops() {
            prop_assert!(!format(kind, si, &shop).is_empty());
            prop_assert!(!format_fine(kind, si, &shop).is_empty());
            prop_assert!(!format_feet(si, &shop).is_empty());
            prop_assert!(step(kind, &shop) > 0.0);
        }
        prop_assert!(!exact(kind, si).is_empty());
    }
}
