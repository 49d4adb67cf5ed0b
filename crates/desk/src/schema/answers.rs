//! The schema of each answer, by the command that gives it.

use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde_json::Value;

use crate::scripts;
use crate::wire::Complaint;

/// A word of a command and what its answer is written as.
type Entry = (&'static str, fn(&mut SchemaGenerator) -> Schema);

fn of<T: JsonSchema>(all: &mut SchemaGenerator) -> Schema {
    all.subschema_for::<T>()
}

/// Every answer, by its command.
const ANSWERS: &[Entry] = &[
    ("add", of::<crate::add::Answer>),
    ("adjust", of::<crate::adjust::Answer>),
    ("affected", of::<crate::affected::Answer>),
    ("batches", of::<crate::batches::Answer>),
    ("blend", of::<crate::blend::Answer>),
    ("card", of::<crate::card::Answer>),
    ("chart", of::<crate::chart::Answer>),
    ("check", of::<crate::check::Answer>),
    ("clay", of::<crate::clay::Answer>),
    ("compare", of::<crate::compare::Answer>),
    ("convert", of::<crate::convert::Answer>),
    ("cost", of::<crate::cost::Answer>),
    ("due", of::<crate::due::Answer>),
    ("expect", of::<crate::expect::Answer>),
    ("exercises", of::<crate::exercises::Answer>),
    ("export", of::<crate::export::Answer>),
    ("fault", of::<crate::fault::Answer>),
    ("fit", of::<crate::fit::Answer>),
    ("formula", of::<crate::formula::Answer>),
    ("glazes", of::<crate::glazes::Answer>),
    ("history", of::<crate::history::Answer>),
    ("import", of::<crate::import::Answer>),
    ("init", of::<crate::init::Answer>),
    ("keep", of::<crate::keep::Answer>),
    ("kiln", of::<crate::kiln::Listed>),
    ("kiln load", of::<crate::kiln::Loaded>),
    ("kiln opened", of::<crate::kiln::Opened>),
    ("lab", of::<crate::lab::Answer>),
    ("label", of::<crate::label::Answer>),
    ("materials", of::<crate::materials::Answer>),
    ("melt", of::<crate::melt::Answer>),
    ("note", of::<crate::note::Answer>),
    ("notes", of::<crate::notes::Answer>),
    ("plan", of::<crate::plan::Answer>),
    ("reach", of::<crate::reach::Answer>),
    ("read", of::<crate::read::Answer>),
    ("recall", of::<crate::recall::Answer>),
    ("rename", of::<crate::rename::Answer>),
    ("results", of::<crate::results::Answer>),
    ("results --all", of::<crate::expect::whole::Answer>),
    ("run", of::<crate::run::Answer>),
    ("script add", of::<scripts::packages::Answer>),
    ("script diff", of::<scripts::diff::Answer>),
    ("script list", of::<scripts::list::Answer>),
    ("script new", of::<scripts::new::Answer>),
    ("script pack", of::<scripts::packages::Answer>),
    ("script reference", of::<scripts::reference::Answer>),
    ("script remove", of::<scripts::packages::Answer>),
    ("script show", of::<scripts::show::Answer>),
    ("script test", of::<scripts::test::Answer>),
    ("script update", of::<scripts::packages::Answer>),
    ("sensitivity", of::<crate::sensitivity::Answer>),
    ("set", of::<crate::set::Answer>),
    ("shelf", of::<crate::shelf::Answer>),
    ("sieve", of::<crate::sieve::Answer>),
    ("slurry", of::<crate::slurry::Answer>),
    ("start", of::<crate::start::Answer>),
    ("swap", of::<crate::swap::Answer>),
    ("unity", of::<crate::unity::Answer>),
    ("weigh", of::<crate::weigh::Answer>),
    ("year", of::<crate::year::Answer>),
];

/// The commands whose answers have a schema.
pub fn answer_words() -> impl Iterator<Item = &'static str> {
    ANSWERS.iter().map(|entry| entry.0)
}

/// The schema of a command's answer (2020-12); `None` where there is no such answer.
pub fn answer_schema(word: &str) -> Option<Value> {
    let (word, shape) = ANSWERS.iter().find(|entry| entry.0 == word)?;
    let mut all = SchemaSettings::draft2020_12().for_serialize().into_generator();
    let shape = shape(&mut all);
    let mut schema = shape.to_value();
    if let Value::Object(schema) = &mut schema {
        schema.insert("title".to_owned(), format!("the answer of glost {word}").into());
        schema.insert(
            "$schema".to_owned(),
            "https://json-schema.org/draft/2020-12/schema".into(),
        );
        // Any answer may have to leave something out.
        let left_out = all.subschema_for::<Vec<Complaint<'_>>>().to_value();
        if let Some(Value::Object(keys)) = schema.get_mut("properties") {
            keys.insert("incomplete".to_owned(), left_out);
        }
        let defs = all.take_definitions(true);
        if !defs.is_empty() {
            schema.insert("$defs".to_owned(), Value::Object(defs));
        }
    }
    Some(schema)
}
