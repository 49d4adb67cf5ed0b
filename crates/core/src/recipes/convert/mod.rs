//! The same metal in another form: so much carbonate for so much oxide.
//!
//! Both are counted as what they leave once fired: the metal's oxide in the
//! glaze is the same, before and after. What the form itself does (grain, gas,
//! solubility) is said in words, not summed.

mod conversion;
mod forms;
mod notes;

pub use conversion::{Conversion, NoConversion, OtherForm, Side, convert};
pub use notes::{CarbonateForm, NotSummed, Pure, Taken};
