//! The script engine, put together from nothing but our own shelf.
//!
//! No stock package is loaded: what a stock engine does wrong in silence, or
//! lets through its limits, is simply not there.

use std::collections::{HashMap, HashSet};
use std::sync::{Arc, LazyLock};

use rhai::{Dynamic, Engine, ImmutableString, LexError, Module, Token};

use crate::bounds;
use crate::caught;
use crate::foreign;
use crate::scene;
use crate::shelf::{Entry, Shelf};
use crate::sort::Sort;
use crate::{language, values};

/// Words that the engine reserves and scripts may use as names.
const FREE_WORDS: [&str; 8] = ["default", "match", "use", "with", "is", "new", "case", "module"];
/// Words that scripts may not use, with the reason.
const BARRED_WORDS: [(&str, &str); 8] = [
    ("eval", "text can't be run"),
    ("Fn", "name a function directly, or write `|x| ...`"),
    ("curry", "write `|x| f(1, x)` instead"),
    ("is_shared", "there is nothing it could tell a script"),
    ("is_def_var", "names are checked when the script is loaded"),
    ("is_def_fn", "names are checked when the script is loaded"),
    ("export", "a script stands by itself"),
    ("exit", "write `return`"),
];

static SHELF: LazyLock<(Arc<Module>, Vec<Entry>)> = LazyLock::new(|| {
    let mut shelf = Shelf::new();
    language::register(&mut shelf);
    values::register(&mut shelf);
    let print = Entry::function(
        "print",
        "value",
        Sort::Nothing,
        "Notes a line; shown beside the answer, for looking at what a script does.",
    );
    shelf.add(print, |value: Dynamic| ImmutableString::from(language::in_text(&value)));
    (Arc::new(shelf.module), shelf.entries)
});

/// Everything on the shelf.
pub(crate) fn entries() -> &'static [Entry] {
    &SHELF.1
}

/// An engine whose scripts see these constants by their plain names.
///
/// `caught` are the names under which they catch errors.
pub(crate) fn new_engine(constants: impl IntoIterator<Item = (String, Dynamic)>, caught: HashSet<String>) -> Engine {
    let mut engine = Engine::new_raw();
    engine.register_global_module(SHELF.0.clone());
    let mut known: HashMap<String, Dynamic> = values::globals().into_iter().collect();
    known.extend(constants);
    // Names that the parser found no variable for: constants and globals, in
    // functions and in closures, which can't take them along otherwise.
    #[allow(deprecated)] // not deprecated, but marked so as the engine's own unstable door
    engine.on_var(move |name, index, mut context| {
        bounds::watch(context.call_level())?;
        Ok(match index {
            0 => known.get(name).cloned(),
            _ => {
                if caught.contains(name)
                    && let Some(value) = context.scope_mut().get_mut(name)
                {
                    caught::make_a_text(value);
                }
                None
            }
        })
    });
    engine.set_optimization_level(rhai::OptimizationLevel::None);
    engine.set_fast_operators(false);
    engine.set_fail_on_invalid_map_property(true);
    engine.set_allow_shadowing(true);
    engine.set_max_expr_depths(bounds::EXPRESSION_DEPTHS.0, bounds::EXPRESSION_DEPTHS.1);
    engine.set_max_call_levels(bounds::CALL_LEVELS + 2); // our own bound strikes first, with a place
    engine.set_max_string_size(bounds::TEXT_MOST_BYTES);
    engine.set_max_array_size(bounds::ITEMS_MOST);
    engine.set_max_map_size(bounds::ITEMS_MOST);
    engine.set_max_variables(bounds::VARIABLES_MOST);
    engine.set_max_functions(bounds::VARIABLES_MOST);
    engine.on_progress(|_| bounds::tick());
    engine.on_print(scene::print);
    engine.on_debug(|text, _, _| scene::print(text));
    #[allow(deprecated)] // not deprecated, but marked so as the engine's own unstable door
    engine.on_parse_token(|token, _, _| reworded(token));
    engine
}

fn reworded(token: Token) -> Token {
    // `|` stands around what a function in brackets takes, too: the scrutiny tells them apart.
    if !matches!(token, Token::Pipe) && token.is_literal() && foreign::bits(token.literal_syntax()).is_some() {
        let sign = token.literal_syntax();
        return Token::LexError(Box::new(LexError::ImproperSymbol(sign.to_owned(), String::new())));
    }
    let word = match &token {
        Token::Reserved(word) | Token::Identifier(word) => word.as_str(),
        _ => return token,
    };
    if let Some((word, why)) = BARRED_WORDS.iter().find(|barred| barred.0 == word) {
        let message = format!("`{word}` isn't available to scripts: {why}");
        return Token::LexError(Box::new(LexError::ImproperSymbol((*word).to_owned(), message)));
    }
    match token {
        Token::Reserved(word) if FREE_WORDS.contains(&word.as_str()) => Token::Identifier(word),
        other => other,
    }
}
