//! Counting what passed, failed and was skipped.

use std::fmt;
use std::ops::AddAssign;

/// How many checks passed, failed and were skipped.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Tally {
    /// Checks that passed.
    pub(super) passed: u64,
    /// Checks that failed.
    pub(super) failed: u64,
    /// Checks that were not run.
    pub(super) skipped: u64,
}

impl Tally {
    /// One check, passed or failed.
    pub(super) fn of(passed: bool) -> Tally {
        if passed {
            Tally {
                passed: 1,
                ..Tally::default()
            }
        } else {
            Tally::failure()
        }
    }

    /// One check that failed.
    pub(super) fn failure() -> Tally {
        Tally {
            failed: 1,
            ..Tally::default()
        }
    }

    /// Adds up the `test result:` lines of a test runner's output.
    ///
    /// A runner that ends badly without naming a failed test (the tests did not compile, a process died), or that ran
    /// no test at all, counts as one failure.
    pub(super) fn of_tests(output: &str, success: bool) -> Tally {
        let mut tally = Tally::default();
        for line in output.lines() {
            let Some((_, counts)) = line.split_once("test result:") else {
                continue;
            };
            // "test result: ok. 3 passed; 0 failed; 1 ignored; 0 measured; 0 filtered out"
            let words: Vec<&str> = counts
                .split([' ', ';', '.'])
                .filter(|word| !word.is_empty())
                .collect();
            for pair in words.windows(2) {
                let Ok(number) = pair[0].parse::<u64>() else {
                    continue;
                };
                match pair[1] {
                    "passed" => tally.passed += number,
                    "failed" => tally.failed += number,
                    "ignored" => tally.skipped += number,
                    _ => {}
                }
            }
        }
        if tally.failed == 0 && (!success || tally.passed == 0) {
            tally.failed = 1;
        }
        tally
    }
}

impl AddAssign for Tally {
    fn add_assign(&mut self, other: Tally) {
        self.passed += other.passed;
        self.failed += other.failed;
        self.skipped += other.skipped;
    }
}

impl fmt::Display for Tally {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} passed, {} failed, {} skipped",
            self.passed, self.failed, self.skipped
        )
    }
}

#[cfg(test)]
mod tests {
    use super::Tally;

    const TWO_RUNS: &str = "running 3 tests\n\
        test result: ok. 3 passed; 0 failed; 1 ignored; 0 measured; 0 filtered out; finished in 0.02s\n\
        running 2 tests\n\
        test result: FAILED. 1 passed; 1 failed; 0 ignored; 0 measured; 7 filtered out; finished in 1.5s\n";

    #[test]
    fn results_of_several_runs_add_up() {
        let tally = Tally::of_tests(TWO_RUNS, false);
        assert_eq!(tally.to_string(), "4 passed, 1 failed, 1 skipped");
    }

    #[test]
    fn a_runner_that_dies_or_runs_nothing_is_a_failure() {
        let died = "test result: ok. 3 passed; 0 failed; 0 ignored; 0 measured; 0 filtered out";
        assert_eq!(Tally::of_tests(died, false).failed, 1);
        assert_eq!(Tally::of_tests(died, true).failed, 0);
        assert_eq!(Tally::of_tests("", true).failed, 1);
    }
}
