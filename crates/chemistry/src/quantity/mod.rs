//! Numbers and units at the door: what people write becomes grams,
//! millilitres, prices per kilo and expansions in one unit.

mod area;
mod cone;
mod coverage;
mod date;
mod date_text;
mod density;
mod expansion;
mod firing_peak;
mod length;
mod mass;
mod modulus;
mod number;
mod percent;
mod price;
mod temperature;
mod volume;
mod written;

pub use area::SquareMetres;
pub use cone::{Cone, ConeAssumption, ConeFamily, ConePoint};
pub use coverage::Coverage;
pub use date::{Date, MONTHS};
pub use density::{GramsPerMillilitre, PowderDensity, SlurryDensity};
pub use expansion::PrintedExpansion;
pub use firing_peak::{FiringPeak, parse_heating_rate};
pub use length::Millimetres;
pub use mass::{GRAMS_PER_OUNCE, GRAMS_PER_POUND, Grams, unit_grams};
pub use modulus::Gigapascals;
pub use number::{
    DecimalComma, Number, NumberTrouble, decimal_comma, parse_fraction, parse_number, plain, split_units, trimmed,
};
pub use percent::parse_percent;
pub use price::Price;
pub use temperature::Celsius;
pub use volume::{
    IMPERIAL_GALLON_MILLILITRES, IMPERIAL_PINT_MILLILITRES, Millilitres, SaidVolume, SaidWaterPerKilo,
    US_GALLON_MILLILITRES, WaterPerKilo,
};
pub use written::{Digits, push_fixed, push_shortest, shortest, whole};
