//! The reader's desk at the end of a page: what is kept, and what can be done with it. Written at
//! build time, shown by the script; without a script nothing is kept, and there is no desk.

/// The desk of a lesson page (`in_lesson`) or of the contents page.
pub(super) fn desk(in_lesson: bool) -> String {
    let again = if in_lesson {
        "<button type=\"button\" data-role=\"start-again\">Start this lesson again</button> "
    } else {
        ""
    };
    format!(
        "<section class=\"desk\" data-role=\"desk\" aria-labelledby=\"desk-title\" hidden>\n\
         <h2 id=\"desk-title\">Your work</h2>\n\
         <p><span data-role=\"kept-where\">Everything you do is kept in this browser, on this device \
         only.</span> \
         <span data-role=\"attempts\"></span></p>\n\
         <p class=\"desk-buttons\">{again}\
         <button type=\"button\" data-role=\"save-work\">Save my work to a file</button> \
         <button type=\"button\" data-role=\"take-in\">Take in work from a file</button> \
         <button type=\"button\" data-role=\"delete-everything\">Delete everything</button>\
         <input type=\"file\" accept=\".json,application/json\" aria-label=\"File of saved work\" \
         data-role=\"work-file\" hidden></p>\n\
         <div class=\"confirm\" data-role=\"delete-ask\" hidden>\
         <p>This deletes your work in every lesson and every assignment from this browser. It cannot be undone.</p>\
         <button type=\"button\" class=\"primary\" data-role=\"delete-yes\">Delete it all</button> \
         <button type=\"button\" data-role=\"delete-no\">Keep it</button></div>\n\
         <p class=\"desk-said\" data-role=\"desk-said\" role=\"status\"></p>\n\
         <label class=\"option\"><input type=\"checkbox\" data-role=\"forget\">\
         <span>This computer is shared: keep my work in this tab only, and forget it when the tab \
         is closed.</span></label>\n</section>\n"
    )
}
