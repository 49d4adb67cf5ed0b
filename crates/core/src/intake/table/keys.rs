//! Cells as values of keys: the words and units that files want.

use glost_chemistry::diagnostic::{is_no, of_typed};
use glost_chemistry::glaze::{ATMOSPHERES, USES};
use glost_chemistry::quantity::{NumberTrouble, parse_number, unit_grams};

use super::amount::with_points;
use super::heading::Heading;
use super::yaml::Yaml;

/// Lower than this, a bare peak temperature is no temperature that a glaze is fired to, C.
const LEAST_PEAK: f64 = 500.0;

fn wrong(message: String, help: &str) -> NumberTrouble {
    NumberTrouble {
        message,
        help: Some(help.to_owned()),
    }
}

/// The value of a glaze's key.
///
/// # Errors
/// A word or a number that files don't take, and that can't be put into their words.
pub fn glaze_value(key: &str, cell: &str, heading: &Heading) -> Result<Yaml, NumberTrouble> {
    let value = Yaml::of_cell(cell);
    let Yaml::Text(text) = value else { return Ok(value) };
    let lower = text.to_lowercase();
    match key {
        "cone" => Ok(Yaml::text(bare_cone(&text))),
        "peak" => Ok(Yaml::text(peak(&text, heading))),
        "atmosphere" => {
            let word = ATMOSPHERES.iter().find(|word| lower.starts_with(&word[..2]));
            word.map(|word| Yaml::text(*word))
                .ok_or_else(|| wrong(is_no(text, "atmosphere"), "write oxidation, reduction or neutral"))
        }
        "use" => {
            let word = USES.iter().find(|word| **word == lower);
            word.map(|word| Yaml::text(*word)).ok_or_else(|| {
                wrong(
                    is_no(text, "use that Glost knows"),
                    &format!("write one of: {}", USES.join(", ")),
                )
            })
        }
        "water" => Ok(Yaml::text(with_unit(&text, heading.unit.as_deref()))),
        "density" => Ok(Yaml::text(with_points(&text))),
        _ => Ok(Yaml::Text(text)),
    }
}

/// The value of a material's key; `currency` is the studio's.
///
/// # Errors
/// A number that lacks its unit.
pub fn material_value(key: &str, cell: &str, heading: &Heading, currency: Option<&str>) -> Result<Yaml, NumberTrouble> {
    let value = Yaml::of_cell(cell);
    let Yaml::Text(text) = value else { return Ok(value) };
    let bare = parse_number(&text).is_ok();
    let unit = heading.unit.as_deref();
    match key {
        "price" => price(&text, heading, currency),
        "stock" if bare => match unit.filter(|unit| unit_grams(unit).is_some()) {
            Some(unit) => Ok(Yaml::text(with_unit(&text, Some(unit)))),
            None => Err(wrong(
                of_typed(text, "has no unit of weight"),
                "write it such as 12 kg, or head the column `stock (kg)`",
            )),
        },
        "stock" => Ok(Yaml::text(with_points(&text))),
        "loss_on_ignition" | "moisture" | "density" | "free_silica" => Ok(Yaml::text(with_points(
            text.strip_suffix('%').map_or(text.as_str(), str::trim_end),
        ))),
        "soluble" | "toxic" | "buyable" | "fired" | "take_as_is" => Ok(Yaml::text(yes(&text))),
        "kind" | "basis" => Ok(Yaml::text(text.to_lowercase())),
        "other_names" | "hazards" | "fumes" => Ok(list(&text)),
        _ => Ok(Yaml::Text(text)),
    }
}

/// `cone 6`, `Kegel 6`, `c6` as `6`.
fn bare_cone(text: &str) -> String {
    let lower = text.to_lowercase();
    for word in ["orton cone", "cone", "kegel", "cône", "cono", "∆", "△", "^"] {
        if let Some(rest) = lower.strip_prefix(word) {
            return rest.trim().to_owned();
        }
    }
    match lower.strip_prefix('c') {
        Some(rest) if rest.trim().starts_with(|sign: char| sign.is_ascii_digit()) => rest.trim().to_owned(),
        _ => text.to_owned(),
    }
}

fn peak(text: &str, heading: &Heading) -> String {
    let unit = heading
        .unit
        .as_deref()
        .map(|unit| unit.trim_start_matches('°').to_uppercase());
    match parse_number(text) {
        Ok(number) if number.value >= LEAST_PEAK => with_unit(text, Some(unit.as_deref().unwrap_or("C"))),
        _ => with_points(text),
    }
}

fn with_unit(text: &str, unit: Option<&str>) -> String {
    match unit {
        Some(unit) if parse_number(text).is_ok() => format!("{} {unit}", with_points(text)),
        _ => with_points(text),
    }
}

fn price(text: &str, heading: &Heading, currency: Option<&str>) -> Result<Yaml, NumberTrouble> {
    if text.contains('/') || text.contains(" per ") {
        return Ok(Yaml::text(with_points(text)));
    }
    let amount = with_points(text.trim_matches(|sign: char| !sign.is_ascii_digit()));
    let typed: String = text.chars().filter(|sign| sign.is_alphabetic()).collect();
    let sign = [('€', "EUR"), ('$', "USD"), ('£', "GBP")]
        .into_iter()
        .find(|(sign, _)| text.contains(*sign));
    let own = match (typed.is_empty(), sign) {
        (false, _) => Some(typed.as_str()),
        (true, Some((_, word))) => Some(word),
        (true, None) => currency,
    };
    let (own, weight) = match (heading.unit.as_deref(), own) {
        (Some(unit), _) if unit.contains('/') || unit.contains(" per ") => {
            return Ok(Yaml::text(format!("{amount} {unit}")));
        }
        (Some(unit), Some(own)) if unit_grams(unit).is_some() => (own, unit),
        (_, Some(own)) if heading.name.ends_with("kg") => (own, "kg"),
        _ => {
            return Err(wrong(
                of_typed(text, "doesn't say for which weight, or in which currency"),
                "write it such as 1.60 EUR/kg, or head the column `price (EUR/kg)`",
            ));
        }
    };
    Ok(Yaml::text(format!("{amount} {own}/{weight}")))
}

fn yes(text: &str) -> &str {
    match text.to_lowercase().as_str() {
        "true" | "yes" | "y" | "x" | "ja" | "oui" | "si" | "sí" | "1" => "true",
        "false" | "no" | "n" | "nein" | "non" | "0" => "false",
        _ => text,
    }
}

fn list(text: &str) -> Yaml {
    let sign = if text.contains(';') { ';' } else { ',' };
    let items = text.split(sign).map(str::trim).filter(|item| !item.is_empty());
    Yaml::List(items.map(Yaml::text).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prices_and_stocks_get_their_units_from_the_heading() {
        let read = |key: &str, cell: &str, heading: &str, currency: Option<&str>| {
            material_value(key, cell, &Heading::of(heading), currency).map(|value| value.cell())
        };
        assert_eq!(
            read("price", "1,60", "Price (EUR/kg)", None),
            Ok("1.60 EUR/kg".to_owned())
        );
        assert_eq!(
            read("price", "1.60", "price per kg", Some("EUR")),
            Ok("1.60 EUR/kg".to_owned())
        );
        assert_eq!(read("price", "£2.10", "price (kg)", None), Ok("2.10 GBP/kg".to_owned()));
        assert_eq!(
            read("price", "8 EUR per 5 kg", "price", None),
            Ok("8 EUR per 5 kg".to_owned())
        );
        assert!(read("price", "1.60", "price", Some("EUR")).is_err());
        assert_eq!(read("stock", "12,5", "stock (kg)", None), Ok("12.5 kg".to_owned()));
        assert_eq!(read("stock", "500 g", "stock", None), Ok("500 g".to_owned()));
        assert!(read("stock", "12", "stock", None).is_err());
        assert_eq!(read("other_names", "a; b", "aliases", None), Ok("[a, b]".to_owned()));
    }

    #[test]
    fn cones_and_firings_are_put_into_the_words_of_files() {
        let read = |key: &str, cell: &str| glaze_value(key, cell, &Heading::of("x")).map(|value| value.cell());
        assert_eq!(read("cone", "Cone 6"), Ok("6".to_owned()));
        assert_eq!(read("cone", "c6"), Ok("6".to_owned()));
        assert_eq!(read("cone", "04"), Ok("04".to_owned()));
        assert_eq!(read("peak", "1220"), Ok("1220 C".to_owned()));
        assert_eq!(read("atmosphere", "Ox."), Ok("oxidation".to_owned()));
        assert!(read("atmosphere", "gas").is_err());
    }
}
