//! `glost note`: one note, a note taken back; sheets are in `note_sheet`.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::quantity::Date;
use glost_core::evidence::notes::{
    Belongs, Draft, Note, Notes, RecipeStanding, Slip, TodaysRecipes, Version, Versions, Void, look_again,
};
use glost_core::tiles::blend::find_tile;
use glost_page::layout::Style;
use glost_page::note::{NotePage, VoidPage};
use glost_studio::Workplace;

use super::booking::{Booked, booked};
use super::note_sheet;
use crate::args::NoteOptions;
use crate::clock;
use crate::outcome::{Answer, Failure, Outcome};
use glost_desk::trouble;

pub(super) fn run(options: &NoteOptions, workplace: &Workplace, style: Style) -> Outcome {
    let today = clock::today()?;
    if let Some(file) = &options.blank {
        return note_sheet::blank(file, options, today);
    }
    workplace.kept_in()?;
    if let Some(line) = options.void {
        return void(line, options, workplace, today, style);
    }
    if let Some(file) = &options.sheet {
        return note_sheet::run(file, options, workplace, today, style);
    }
    one(options, workplace, today, style)
}

/// What the options say.
pub(super) fn draft(options: &NoteOptions) -> Draft {
    let mut draft = Draft::default();
    for (key, text) in [
        ("on", &options.on),
        ("glaze", &options.glaze),
        ("version", &options.version),
        ("clay", &options.clay),
        ("firing", &options.firing),
        ("cone", &options.cone),
        ("batch", &options.batch),
        ("tile", &options.tile),
        ("made", &options.made),
        ("age", &options.age),
        ("pieces", &options.pieces),
        ("crazed", &options.crazed),
        ("shivered", &options.shivered),
        ("thickness", &options.thickness),
        ("photo", &options.photo),
        ("lab", &options.lab),
        ("test", &options.test),
        ("text", &options.text),
    ] {
        draft.say(key, text.as_deref().unwrap_or_default());
    }
    for grade in &options.grade {
        draft.say("grade", grade);
    }
    draft
}

fn one(options: &NoteOptions, workplace: &Workplace, today: Date, style: Style) -> Outcome {
    let mut draft = draft(options);
    let before = workplace.notes()?.0;
    let again = match options.again {
        Some(line) => Some(look_again(standing_note(&before, line)?, &mut draft, today)),
        None => None,
    };
    let settled = draft.settle(today).map_err(slip)?;
    let mut named = Named::find(settled.note, workplace, options.unlisted)?;
    named.assumptions.extend(settled.assumptions);
    let new_version = record(workplace, std::slice::from_mut(&mut named), today)?.pop();
    let (notes, line) = workplace.add_notes(|notes| -> Result<_, Failure> {
        let mut notes = notes.clone();
        let mut lines = Vec::new();
        if let Some(again) = &again
            && let (Some(renamed), Some(void)) = (&again.renamed, &again.void)
        {
            // Another may have taken it back meanwhile.
            standing_note(&notes, void.of)?;
            lines.extend([renamed.to_line(), void.to_line()]);
            notes.push(renamed.clone());
            notes.push_void(void.clone());
        }
        lines.push(named.note.to_line());
        let line = notes.push(named.note.clone());
        Ok((lines, (notes, line)))
    })?;
    let page = NotePage {
        notes: &notes,
        line,
        version: named.version.as_ref().map(Belongs::version),
        new_version: new_version.as_ref(),
        standing: named.standing,
        assumptions: &named.assumptions,
        older: named.older.as_ref(),
    };
    Ok(Answer::yes(page.text(style), page.json()))
}

/// A note whose glaze, clay and tile were looked up.
pub(super) struct Named {
    pub(super) note: Note,
    /// The version it belongs to, where the glaze has a recipe.
    pub(super) version: Option<Belongs>,
    pub(super) standing: RecipeStanding,
    /// An older version that the pieces may be of.
    older: Option<Version>,
    pub(super) assumptions: Vec<String>,
    recipe: Option<glost_chemistry::glaze::Glaze>,
}

impl Named {
    pub(super) fn find(mut note: Note, workplace: &Workplace, unlisted: bool) -> Result<Named, Failure> {
        let mut assumptions = Vec::new();
        let mut recipe = None;
        if let Some(name) = &note.glaze {
            match workplace.glaze(name) {
                Ok(found) => {
                    note.glaze = Some(found.glaze.name.clone());
                    if note.clay.is_none()
                        && let Some(clay) = &found.glaze.about.clay
                    {
                        assumptions.push(format!("on {clay}, as the glaze's file says; --clay says another"));
                        note.clay = Some(clay.clone());
                    }
                    let about = &found.glaze.about;
                    if note.firing.is_none() && note.cone.is_none() && (about.firing.is_some() || about.cone.is_some())
                    {
                        let fired: Vec<String> = [
                            about.firing.clone(),
                            about.cone.as_ref().map(|cone| format!("cone {cone}")),
                        ]
                        .into_iter()
                        .flatten()
                        .collect();
                        assumptions.push(format!(
                            "fired to {}, as the glaze's file says; --firing or --cone says another",
                            fired.join(", ")
                        ));
                        note.firing.clone_from(&about.firing);
                        note.cone.clone_from(&about.cone);
                    }
                    recipe = Some(found.glaze);
                }
                Err(complaints) if unlisted && unknown(&complaints) => {
                    assumptions.push(format!(
                        "no file describes {name}: its results count, its chemistry is not known"
                    ));
                }
                Err(complaints) => return Err(unlisted_hint(complaints).into()),
            }
        }
        if let Some(code) = note.tile.clone() {
            assumptions.extend(tile(&mut note, &code, workplace, unlisted)?);
        }
        if let (Some(number), Some(glaze)) = (&note.batch, &note.glaze)
            && let Booked::Amiss(words) = booked(workplace, number, glaze)
        {
            assumptions.push(words);
        }
        if let Some(name) = &note.clay {
            match workplace.clay(name) {
                Ok(found) => note.clay = Some(found.clay.name),
                Err(complaints) if unlisted && unknown(&complaints) => {}
                Err(complaints) => return Err(unlisted_hint(complaints).into()),
            }
        }
        Ok(Named {
            note,
            version: None,
            standing: RecipeStanding::NoRecipe,
            older: None,
            assumptions,
            recipe,
        })
    }
}

/// Records what versions these notes need, on disk when this returns, and puts
/// the versions' names into the notes. Gives the new ones.
pub(super) fn record(workplace: &Workplace, notes: &mut [Named], today: Date) -> Result<Vec<Version>, Failure> {
    let settle = |versions: &Versions, notes: &mut [Named]| -> Result<Vec<Version>, Failure> {
        let mut versions = versions.clone();
        let mut new = Vec::new();
        for named in notes {
            let Some(glaze) = &named.recipe else { continue };
            let belongs = versions
                .place(glaze, named.note.version.as_deref(), today)
                .map_err(|other| called_otherwise(&named.note, &other))?;
            if let Belongs::ToNew(version) = &belongs {
                versions.push(version.clone());
                new.push(version.clone());
            }
            named.note.version = Some(belongs.version().version.clone());
            named.standing = TodaysRecipes::of([glaze], today).standing(&named.note, &versions);
            named.older = named
                .note
                .fired_on()
                .and_then(|fired| versions.before(belongs.version(), fired).cloned());
            named.version = Some(belongs);
        }
        Ok(new)
    };
    // Most notes need no new version, and then nothing is locked.
    let asked: Vec<Option<String>> = notes.iter().map(|named| named.note.version.clone()).collect();
    let new = settle(&workplace.versions()?.0, notes)?;
    if new.is_empty() {
        return Ok(new);
    }
    workplace.add_versions(|versions| {
        for (named, asked) in notes.iter_mut().zip(asked) {
            named.note.version = asked;
        }
        let new = settle(versions, notes)?;
        Ok((new.iter().map(Version::to_line).collect(), new))
    })
}

fn void(line: usize, options: &NoteOptions, workplace: &Workplace, today: Date, style: Style) -> Outcome {
    let on = match &options.on {
        Some(text) => Date::parse(text).map_err(|bad| trouble::option("on", bad))?,
        None => today,
    };
    let (before, own_line) = workplace.add_notes(|notes| -> Result<_, Failure> {
        can_be_taken_back(notes, line)?;
        let void = Void {
            line: 0,
            on: Some(on),
            of: line,
            text: options.text.clone().filter(|text| !text.trim().is_empty()),
            counts: true,
        };
        let text = void.to_line();
        let mut after = notes.clone();
        let own_line = after.push_void(void);
        Ok((vec![text], (notes.clone(), own_line)))
    })?;
    let page = VoidPage {
        notes: &before,
        of: line,
        line: own_line,
        on,
        text: options.text.as_deref(),
    };
    Ok(Answer::yes(page.text(style), page.json()))
}

fn can_be_taken_back(notes: &Notes, line: usize) -> Result<(), Diagnostic> {
    if line == 0 || line > notes.line_count() {
        return Err(no_such_line(notes, line));
    }
    let void = notes.voids().iter().find(|void| void.counts && void.of == line);
    if let Some(void) = void {
        let message = format!("line {line} was taken back already, by line {}", void.line);
        return Err(Diagnostic::error("void-already", message)
            .help(format!("`glost note --void {}` makes it stand again", void.line)));
    }
    Ok(())
}

fn standing_note(notes: &Notes, line: usize) -> Result<&Note, Diagnostic> {
    let Some(note) = notes.at(line) else {
        return Err(no_such_line(notes, line));
    };
    match note.void {
        None => Ok(note),
        Some(void) => {
            let message = format!("the note on line {line} was taken back by line {void}");
            Err(Diagnostic::error("void-already", message).help("`glost notes` shows the lines that stand"))
        }
    }
}

fn no_such_line(notes: &Notes, line: usize) -> Diagnostic {
    let message = match notes.line_count() {
        0 => "nothing is noted yet".to_owned(),
        1 => format!("no note stands on line {line}: the notebook has one line"),
        count => format!("no note stands on line {line}: the notebook has {count} lines"),
    };
    Diagnostic::error("no-such-line", message).help("`glost notes` shows each note with its line")
}

/// A tile that a saved plan knows, under the plan's name too: another plan may
/// have a tile of that code tomorrow. Where no plan is kept any code goes, and
/// is said.
fn tile(note: &mut Note, code: &str, workplace: &Workplace, unlisted: bool) -> Result<Option<String>, Diagnostic> {
    let (plans, complaints) = workplace.plans();
    for complaint in &complaints {
        crate::complain(&glost_page::diagnostic::text(complaint));
    }
    if plans.is_empty() {
        return Ok(Some(format!(
            "tile {code}: no plan is kept here, so nothing says what is on it"
        )));
    }
    match find_tile(&plans, code) {
        Ok((plan, tile)) => {
            note.tile = Some(format!("{}/{}", plan.name, tile.code));
            if let (None, Some(clay)) = (&note.clay, &plan.clay) {
                note.clay = Some(clay.clone());
                return Ok(Some(format!("on {clay}, as the plan says; --clay says another")));
            }
            Ok(None)
        }
        Err(_) if unlisted => Ok(None),
        Err(error) => {
            let help = error.help.clone().unwrap_or_default();
            Err(error.help(format!("{help} (--unlisted notes it although no plan has it)")))
        }
    }
}

fn called_otherwise(note: &Note, other: &Version) -> Diagnostic {
    let message = format!(
        "{} has no version `{}`, and its recipe is recorded as {}",
        other.glaze,
        note.version.as_deref().unwrap_or_default(),
        other.version
    );
    Diagnostic::error("unknown-version", message).help(format!(
        "leave --version out, or say --version {}; for an older recipe name a file that holds it",
        other.version
    ))
}

fn unknown(complaints: &[Diagnostic]) -> bool {
    complaints
        .iter()
        .any(|complaint| matches!(complaint.code, "unknown-glaze" | "unknown-clay"))
}

/// The complaint about a name with the way to note it all the same.
fn unlisted_hint(mut complaints: Vec<Diagnostic>) -> Vec<Diagnostic> {
    let named = complaints
        .iter_mut()
        .find(|complaint| matches!(complaint.code, "unknown-glaze" | "unknown-clay"));
    if let Some(complaint) = named {
        let help = complaint.help.take().unwrap_or_default();
        complaint.help = Some(format!("{help} (--unlisted notes it although no file names it)"));
    }
    complaints
}

/// What is wrong with an option.
fn slip(slip: Slip) -> Diagnostic {
    match slip.key {
        "glaze" => Diagnostic::error("nothing-named", slip.trouble.message).maybe_help(slip.trouble.help),
        "age_days" => trouble::option("age", slip.trouble),
        key => trouble::option(key, slip.trouble),
    }
}
