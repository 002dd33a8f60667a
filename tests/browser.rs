//! Checks of the whole notebook in a real browser: the built site, served by the command, steered like a person would.
//!
//! They run only when `COLDFRINGE_BROWSER=1` is set, which `cargo verify` does after it has made sure of a browser.
//! `CHROMEDRIVER` names the driver, `COLDFRINGE_AXE` the accessibility checker's script. Arguments are parts of names:
//! `COLDFRINGE_BROWSER=1 cargo test --test browser -- contents` runs the checks whose names hold `contents`.
//!
//! A check is an `async fn(Page) -> Checked` in a file of its own room, listed in [`CHECKS`]. Each gets a browser session
//! with a fresh profile; one server and one driver serve them all. Two run at a time: a check writes files under names that
//! no other has. A screenshot of every failure is kept.

// For wasm an empty program stands here, because cargo builds every target.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a test stops at the first surprise and says so on standard output"
)]
#![cfg_attr(target_arch = "wasm32", no_main)]

#[cfg(not(target_arch = "wasm32"))]
mod course;
#[cfg(not(target_arch = "wasm32"))]
#[path = "browser/runner.rs"]
mod runner;

#[cfg(not(target_arch = "wasm32"))]
#[allow(
    dead_code,
    reason = "hands and eyes that a check may need are offered whether or not one uses them today"
)]
mod browser {
    pub(crate) mod accessibility;
    pub(crate) mod accident;
    pub(crate) mod alone;
    pub(crate) mod assignment;
    pub(crate) mod command;
    pub(crate) mod contents;
    pub(crate) mod course_system;
    pub(crate) mod downloads;
    pub(crate) mod drawing;
    pub(crate) mod driver;
    pub(crate) mod firefox;
    pub(crate) mod flux_into_voltage;
    pub(crate) mod gestures;
    pub(crate) mod homework;
    pub(crate) mod homework_from_disk;
    pub(crate) mod keeping;
    pub(crate) mod lecture;
    pub(crate) mod lessons;
    pub(crate) mod many_slits;
    pub(crate) mod marked_alike;
    pub(crate) mod measure;
    pub(crate) mod mishaps;
    pub(crate) mod numbers;
    pub(crate) mod offline;
    pub(crate) mod one_file;
    pub(crate) mod one_junction;
    pub(crate) mod one_slit;
    pub(crate) mod page;
    pub(crate) mod presenter;
    pub(crate) mod profile;
    pub(crate) mod protocol;
    pub(crate) mod reader;
    pub(crate) mod reading;
    pub(crate) mod screened_loop;
    pub(crate) mod secrecy;
    pub(crate) mod server;
    pub(crate) mod slow;
    pub(crate) mod states;
    pub(crate) mod sweep_the_bias;
    pub(crate) mod taking_home;
    pub(crate) mod the_loop;
    pub(crate) mod two_slits;
    pub(crate) mod wide_slits;
}

#[cfg(not(target_arch = "wasm32"))]
use browser::{
    accident, alone, assignment, contents, course_system, firefox, flux_into_voltage,
    homework_from_disk, keeping, lecture, lessons, many_slits, marked_alike, measure, mishaps,
    numbers, offline, one_file, one_junction, one_slit, presenter, profile, reading, screened_loop,
    secrecy, slow, states, sweep_the_bias, taking_home, the_loop, two_slits, wide_slits,
};
#[cfg(not(target_arch = "wasm32"))]
use runner::{Check, check};

/// Every check, in the order they run.
#[cfg(not(target_arch = "wasm32"))]
const CHECKS: &[Check] = &[
    check!(contents::has_no_accessibility_violation),
    check!(contents::asks_no_other_host_and_logs_no_error),
    check!(contents::is_sent_with_a_strict_policy),
    check!(contents::reads_without_script),
    check!(contents::fits_a_narrow_screen),
    check!(lessons::have_no_accessibility_violation_at_first),
    check!(lessons::have_no_accessibility_violation_when_all_is_open),
    check!(lessons::ask_no_other_host_and_log_no_error),
    check!(lessons::fit_a_narrow_screen),
    check!(lessons::read_without_script),
    check!(lessons::read_without_wasm),
    check!(lessons::survive_what_is_in_storage),
    check!(one_slit::is_walked_by_drag),
    check!(one_slit::is_walked_by_taps_alone),
    check!(one_slit::is_walked_by_keyboard_alone),
    check!(one_slit::asks_which_picture_was_meant),
    check!(one_slit::takes_odd_strokes_and_keys),
    check!(profile::is_walked_from_start_to_end),
    check!(profile::is_painted_by_every_means),
    check!(two_slits::is_walked_from_start_to_end),
    check!(wide_slits::is_walked_from_start_to_end),
    check!(the_loop::is_walked_from_start_to_end),
    check!(screened_loop::is_walked_from_start_to_end),
    check!(sweep_the_bias::is_walked_from_start_to_end),
    check!(one_junction::is_walked_from_start_to_end),
    check!(many_slits::is_walked_by_keyboard_alone),
    check!(accident::is_walked_by_taps),
    check!(flux_into_voltage::is_walked_from_start_to_end),
    check!(secrecy::keeps_every_reading_out_of_the_page),
    check!(secrecy::draws_nothing_of_the_device_before),
    check!(secrecy::shuts_what_comes_after),
    check!(numbers::refuse_what_cannot_be_read_without_costing_a_try),
    check!(numbers::read_what_people_type),
    check!(numbers::at_a_bench_keep_to_their_range),
    check!(taking_home::charts_come_as_png_svg_and_csv),
    check!(taking_home::work_comes_as_json),
    check!(reading::needs_no_canvas),
    check!(reading::needs_no_script_of_its_version),
    check!(states::are_accessible_on_a_laptop),
    check!(states::are_accessible_and_fit_on_the_narrowest_screen),
    check!(states::fit_a_telephone_and_large_letters),
    check!(states::stand_at_once_with_less_motion),
    check!(states::trace_with_a_pen_that_a_key_ends),
    check!(states::keep_their_colours_where_colours_are_forced),
    check!(keeping::survives_a_reload_at_every_stage),
    check!(keeping::shares_the_work_of_two_tabs),
    check!(keeping::starts_again_and_deletes),
    check!(alone::goes_on_where_it_was_left),
    check!(alone::finds_a_bench_as_it_was_left),
    check!(alone::shows_earlier_attempts_only_afterwards),
    check!(alone::looks_back_at_the_end),
    check!(alone::takes_work_in_from_a_file),
    check!(alone::forgets_on_a_shared_computer),
    check!(alone::keeps_a_desk_for_the_keyboard),
    check!(alone::has_sheets_for_paper),
    check!(mishaps::puts_aside_what_it_cannot_read),
    check!(mishaps::meets_sketches_edited_by_hand),
    check!(mishaps::goes_on_when_storage_is_full),
    check!(mishaps::works_without_storage),
    check!(mishaps::loses_nothing_when_the_script_stops),
    check!(slow::is_fetched_only_where_it_is_needed),
    check!(slow::bench_follows_its_slider),
    check!(slow::bench_shows_its_work_and_stops),
    check!(slow::predictions_wait_and_are_kept),
    check!(slow::is_walked_by_keyboard_alone),
    check!(slow::numbers_are_judged_when_they_are_there),
    check!(slow::fits_a_telephone_while_computing),
    check!(slow::worker_that_cannot_be_loaded_is_told_of),
    check!(slow::worker_that_breaks_is_replaced),
    check!(slow::worker_computes_the_bits_of_the_command),
    check!(one_file::works_from_disk),
    check!(one_file::computes_without_a_worker),
    check!(one_file::runs_nothing_but_its_own_text),
    check!(firefox::works_from_disk),
    check!(homework_from_disk::an_assignment_works_from_disk),
    check!(firefox::an_assignment_works_from_disk),
    check!(course_system::takes_packages_of_1_2),
    check!(course_system::takes_packages_of_2004),
    check!(course_system::takes_an_assignment),
    check!(course_system::has_its_limits_told),
    check!(course_system::is_not_needed),
    check!(assignment::slits_are_done_from_start_to_marks),
    check!(assignment::loops_are_done_by_keyboard_alone),
    check!(assignment::assignments_are_accessible_and_fit),
    check!(marked_alike::slits),
    check!(marked_alike::loops),
    check!(marked_alike::sensor_design),
    check!(marked_alike::reading_data),
    check!(assignment::receipts_go_on_elsewhere),
    check!(assignment::assignments_are_kept_well),
    check!(assignment::a_typed_number_is_not_lost),
    check!(offline::a_site_opens_again_without_a_network),
    check!(lecture::of_lesson_one_is_given_by_keyboard_alone),
    check!(lecture::of_lesson_five_is_given_by_keyboard_alone),
    check!(lecture::survives_a_reload_and_going_back),
    check!(lecture::is_kind_to_a_clicker),
    check!(presenter::follows_the_hall),
    check!(presenter::steers_the_hall_as_its_own_keys_do),
    check!(lecture::is_readable_and_accessible_in_every_kind_of_stage),
    check!(measure::time_until_live),
    check!(measure::time_of_a_slider_movement),
    check!(measure::time_of_a_slow_slider_movement),
    check!(measure::time_of_slow_kernels),
];

#[cfg(not(target_arch = "wasm32"))]
fn main() -> std::process::ExitCode {
    runner::main(CHECKS)
}
