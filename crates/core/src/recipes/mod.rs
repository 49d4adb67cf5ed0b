//! Recipes: swapped, matched, adjusted, looked through, and metals in another form.

pub mod adjust;
pub mod affected;
pub mod aims;
pub mod convert;
pub mod fewest;
pub mod sensitivity;
pub mod swap;
