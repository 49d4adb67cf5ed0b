//! A unity formula and an expansion with its band, from names and numbers.

use glost_chemistry::{Materials, Recipe, RecipeError};

fn main() -> Result<(), RecipeError> {
    let recipe = Recipe::parts([
        ("orthoclase", 40.0),
        ("quartz", 30.0),
        ("calcite", 20.0),
        ("kaolinite", 10.0),
    ]);
    let fired = recipe.fire(&Materials::shipped())?;
    if let (Some(unity), Some(expansion)) = (fired.unity(), fired.expansion()) {
        println!("{unity:.3}");
        println!("{expansion:.1}");
    }
    Ok(())
}
