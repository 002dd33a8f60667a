//! The attribute names that the page of an assignment and the script share, beside those of
//! [`crate::page::islands`].

/// On the main element: the assignment's slug.
pub const WORKBOOK: &str = "data-workbook";
/// On the main element, set by the script: the student's numbers are filled in.
pub const FILLED: &str = "data-filled";
/// On an element whose text is a drawn value: the name of the draw.
pub const DRAW: &str = "data-draw";
/// On the frame of a question: its name.
pub const TASK: &str = "data-task";
/// On the link to a question in the standing at the foot: its name.
pub const TASK_LINK: &str = "data-task-link";
/// On the frame of a question and on its link, set by the script: how it stands.
pub const STANDING: &str = "data-standing";
/// On the main element, set by the script: points earned so far.
pub const POINTS: &str = "data-points";
/// On the main element: points that can be earned.
pub const POINTS_OF: &str = "data-points-of";
/// On the main element, set by the script: questions that are done.
pub const DONE: &str = "data-done";
/// On the main element: how many questions there are.
pub const DONE_OF: &str = "data-done-of";
/// On the main element, set by the script: `yes` once all that was done is judged.
pub const JUDGED: &str = "data-judged";
