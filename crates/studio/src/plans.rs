//! Plans of tiles that the studio keeps: `plans/NAME.json`, never rewritten.

use std::path::PathBuf;

use glost_chemistry::diagnostic::Diagnostic;
use glost_core::tiles::blend::{SavedPlan, plan_name};

use crate::disk::create_folders;
use crate::made_up::{PlanFile, plan_name_of};
use crate::save::{cannot_write, create_new_on};
use crate::workplace::Workplace;

/// The folder of plans in a studio.
const PLANS: &str = "plans";

impl Workplace {
    /// Every saved plan that can be used, in order of the files' names, and every
    /// complaint about the others. None where there is no studio.
    pub fn plans(&self) -> (Vec<SavedPlan>, Vec<Diagnostic>) {
        let (mut plans, mut complaints) = (Vec::new(), Vec::new());
        for file in self.read_plans() {
            match file {
                Ok(file) => plans.push(file.plan),
                Err(error) => complaints.push(error),
            }
        }
        (plans, complaints)
    }

    /// The plans that can be used, with their files.
    pub fn plan_files(&self) -> Vec<PlanFile> {
        self.read_plans().flatten().collect()
    }

    fn read_plans(&self) -> impl Iterator<Item = Result<PlanFile, Diagnostic>> {
        self.json_files(PLANS).into_iter().map(|file| {
            let name = plan_name_of(&file.shown);
            let source = file.text?;
            let plan = SavedPlan::read(&name, &source)?;
            Ok(PlanFile { plan, source })
        })
    }

    /// Where a plan of this name would be saved.
    ///
    /// # Errors
    /// No studio, a name that can't be one, or a plan that is there already.
    pub fn place_for_plan(&self, name: &str) -> Result<PathBuf, Diagnostic> {
        let name = plan_name(name)?;
        let Some(dir) = self.studio_dir() else {
            return Err(
                Diagnostic::error("no-studio", "there is no studio folder here to keep a plan in")
                    .help("`glost init my-studio` makes one; or leave --save out"),
            );
        };
        let file = format!("{name}.json").to_lowercase();
        let listed = self.disk().list(&dir.join(PLANS));
        if listed.is_ok_and(|names| names.iter().any(|name| name.to_string_lossy().to_lowercase() == file)) {
            return Err(
                Diagnostic::error("already-there", format!("a plan `{name}` is saved already")).help(
                    "tiles may have been made by it, so it is never written over: save this one under another name",
                ),
            );
        }
        Ok(dir.join(PLANS).join(format!("{name}.json")))
    }

    /// Saves a plan under a new name, as a whole.
    ///
    /// # Errors
    /// As [`Workplace::place_for_plan`]; it can't be written.
    pub fn save_plan(&self, name: &str, text: &str) -> Result<PathBuf, Diagnostic> {
        let path = self.place_for_plan(name)?;
        if let Some(folder) = path.parent() {
            create_folders(&**self.disk(), folder).map_err(|error| cannot_write(folder, &error))?;
        }
        create_new_on(self.disk(), &path, text)?;
        Ok(path)
    }
}
