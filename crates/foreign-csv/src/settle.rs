//! The table in the head of a file, or everything that a person has to say of it, at once.

use super::{
    error::{ImportProblem, Missing},
    layout::{Layout, Unsettled, find},
    options::ImportOptions,
    sample::{Sample, decide_unit},
};

/// Finds the table; what is missing is said together, the unit of the pressure too.
pub(crate) fn find_table(head: &[u8], options: &ImportOptions) -> Result<Layout, ImportProblem> {
    let (mut problems, layout) = match find(head, options) {
        Ok(layout) => return Ok(layout),
        Err(Unsettled::Problem(problem)) => return Err(problem),
        Err(Unsettled::Missing { problems, layout }) => (problems, layout),
    };
    if let Some(layout) = layout.filter(|_| options.pressure_unit.is_none()) {
        let body = head.get(layout.body_at..).unwrap_or_default();
        let unit = decide_unit(&layout, &Sample::of(&layout, body), options);
        if let Err(ImportProblem::Missing(missing)) = unit {
            problems.push(missing);
        }
    }
    Err(match problems.pop() {
        Some(only) if problems.is_empty() => only.into(),
        Some(last) => {
            problems.push(last);
            Missing::Several(problems).into()
        }
        None => ImportProblem::NoTable,
    })
}
