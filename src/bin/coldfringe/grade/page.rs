//! The class report as one page that needs nothing else.

use coldfringe::homework::Assignment;
use coldfringe::homework::grading::Row;
use coldfringe::homework::table::{TaskReport, points};
use coldfringe::page::html::escape;

const STYLE: &str = "body{font:16px/1.5 Georgia,serif;color:#1c1a17;background:#fbf8f1;margin:2rem auto;max-width:64rem;padding:0 1rem}\
table{border-collapse:collapse;width:100%;margin:1rem 0 2rem}\
caption{text-align:left;font-weight:bold;padding:.3rem 0}\
th,td{text-align:left;vertical-align:top;padding:.35rem .6rem;border-bottom:1px solid #b9b1a1}\
td.number,th.number{text-align:right;white-space:nowrap}\
.bar{display:inline-block;height:.7em;background:#005a8c;border-right:1px solid #1c1a17}\
@media print{body{background:#fff;margin:0;max-width:none}}";

/// The page.
pub(super) fn page(assignment: &Assignment, rows: &[Row], reports: &[TaskReport]) -> String {
    let counting: Vec<&Row> = rows.iter().filter(|row| row.counts).collect();
    let title = escape(&assignment.title);
    let mut page = format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width\">\n\
         <title>{title}: class report</title>\n<style>{STYLE}</style>\n</head>\n<body>\n\
         <h1>{title}: class report</h1>\n<p>Course {course}, version {version} of the assignment. \
         {students}.</p>\n",
        course = escape(&assignment.course),
        version = assignment.version,
        students = students(&counting),
    );
    page.push_str(&questions(assignment, reports));
    page.push_str(&flags(rows));
    page.push_str("</body>\n</html>\n");
    page
}

fn students(counting: &[&Row]) -> String {
    let marks: Vec<f64> = counting
        .iter()
        .filter_map(|row| row.marks.as_ref())
        .map(coldfringe::homework::Marks::points)
        .collect();
    let mean = if marks.is_empty() {
        0.0
    } else {
        marks.iter().sum::<f64>() / marks.len() as f64
    };
    format!(
        "{} students, {} with work that could be marked, {} points on average",
        counting.len(),
        marks.len(),
        points(mean)
    )
}

fn questions(assignment: &Assignment, reports: &[TaskReport]) -> String {
    let mut table = String::from(
        "<table>\n<caption>Questions</caption>\n<thead><tr><th scope=\"col\">Question</th>\
         <th scope=\"col\" class=\"number\">Answered</th><th scope=\"col\">Right first time</th>\
         <th scope=\"col\" class=\"number\">Right in the end</th>\
         <th scope=\"col\" class=\"number\">Certain and wrong</th>\
         <th scope=\"col\">Ideas and slips met most</th></tr></thead>\n<tbody>\n",
    );
    for (task, report) in assignment.tasks.iter().zip(reports) {
        let share = 100.0 * report.right_at_once as f64 / report.answered.max(1) as f64;
        let slips: Vec<String> = report
            .most_met(3)
            .into_iter()
            .map(|(name, count)| format!("{} ({count})", escape(name)))
            .collect();
        table.push_str(&format!(
            "<tr><th scope=\"row\">{id}</th><td class=\"number\">{answered}</td>\
             <td>{at_once} ({share:.0} %) <span class=\"bar\" style=\"width:{width:.1}rem\"></span></td>\
             <td class=\"number\">{right}</td><td class=\"number\">{sure}</td><td>{slips}</td></tr>\n",
            id = escape(&task.id),
            answered = report.answered,
            at_once = report.right_at_once,
            width = share / 20.0,
            right = report.right,
            sure = report.sure_and_wrong,
            slips = slips.join(", "),
        ));
    }
    table.push_str("</tbody>\n</table>\n");
    table
}

fn flags(rows: &[Row]) -> String {
    let flagged: Vec<&Row> = rows.iter().filter(|row| !row.flags.is_empty()).collect();
    if flagged.is_empty() {
        return "<p>No receipt has a flag.</p>\n".to_owned();
    }
    let mut table = String::from(
        "<table>\n<caption>Receipts that deserve a look</caption>\n<thead><tr>\
         <th scope=\"col\">Student</th><th scope=\"col\">File</th><th scope=\"col\">Why</th></tr>\
         </thead>\n<tbody>\n",
    );
    for row in flagged {
        let words: Vec<String> = row
            .flags
            .iter()
            .map(|flag| escape(&flag.to_string()))
            .collect();
        table.push_str(&format!(
            "<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td></tr>\n",
            escape(&row.student),
            escape(&row.file),
            words.join("<br>")
        ));
    }
    table.push_str(
        "</tbody>\n</table>\n<p>A flag is a question, not a verdict: files are copied by accident, \
         clocks are set, identifiers are mistyped. Ask first.</p>\n",
    );
    table
}
