//! The `coldfringe` command: serves, builds and checks the notebook, and computes curves for figures.
//!
//! It is native only. An integration test for the browser makes cargo build every program of the package,
//! so for wasm the command is an empty program.

#[cfg(not(target_arch = "wasm32"))]
mod build;
#[cfg(not(target_arch = "wasm32"))]
mod bundle;
#[cfg(not(target_arch = "wasm32"))]
mod child;
#[cfg(not(target_arch = "wasm32"))]
mod curve;
#[cfg(not(target_arch = "wasm32"))]
mod debian_package;
#[cfg(not(target_arch = "wasm32"))]
mod grade;
#[cfg(not(target_arch = "wasm32"))]
mod homework;
#[cfg(not(target_arch = "wasm32"))]
mod lessons;
#[cfg(not(target_arch = "wasm32"))]
mod offline;
#[cfg(not(target_arch = "wasm32"))]
mod one_file;
#[cfg(not(target_arch = "wasm32"))]
mod pack;
#[cfg(not(target_arch = "wasm32"))]
mod place;
#[cfg(not(target_arch = "wasm32"))]
mod say;
#[cfg(not(target_arch = "wasm32"))]
mod serve;
#[cfg(not(target_arch = "wasm32"))]
mod served;
#[cfg(not(target_arch = "wasm32"))]
mod setups;
#[cfg(not(target_arch = "wasm32"))]
mod site;
#[cfg(not(target_arch = "wasm32"))]
mod texts;
#[cfg(not(target_arch = "wasm32"))]
mod toolchain;
#[cfg(not(target_arch = "wasm32"))]
mod verify;
#[cfg(not(target_arch = "wasm32"))]
mod write;

#[cfg(not(target_arch = "wasm32"))]
mod arguments {
    use clap::{Parser, Subcommand};

    /// Reads the command line.
    #[derive(Debug, Parser)]
    #[command(name = "coldfringe", version, about)]
    pub(crate) struct Arguments {
        /// What to do.
        #[command(subcommand)]
        pub(crate) command: Command,
    }

    /// What the command can do.
    #[derive(Debug, Subcommand)]
    pub(crate) enum Command {
        /// Serve the notebook on this machine and print the address.
        Serve(crate::serve::Options),
        /// Write the notebook as a static site, for any web host.
        Build(crate::build::Options),
        /// Write lessons and assignments as packages for a course system.
        Pack(crate::pack::Options),
        /// Check lesson files, or begin one.
        #[command(subcommand)]
        Lessons(crate::lessons::Options),
        /// Compute a set-up's curves and readings, as numbers or as a picture.
        Curve(crate::curve::Options),
        /// List every set-up with its parameters, units, ranges, columns and readings.
        Setups(crate::setups::Options),
        /// Mark receipts of an assignment.
        Grade(crate::grade::Options),
        /// Run everything that is checked; install what it needs, and say so.
        Verify(crate::verify::Options),
    }
}

#[cfg(not(target_arch = "wasm32"))]
fn main() -> std::process::ExitCode {
    use clap::Parser as _;

    let success = std::process::ExitCode::SUCCESS;
    let result = match arguments::Arguments::parse().command {
        arguments::Command::Serve(options) => serve::execute(options).map(|()| success),
        arguments::Command::Build(options) => build::execute(&options).map(|()| success),
        arguments::Command::Pack(options) => pack::execute(&options).map(|()| success),
        arguments::Command::Lessons(options) => lessons::execute(&options).map(|()| success),
        arguments::Command::Curve(options) => curve::execute(&options).map(|()| success),
        arguments::Command::Setups(options) => setups::execute(&options).map(|()| success),
        arguments::Command::Grade(options) => grade::execute(&options).map(|()| success),
        arguments::Command::Verify(options) => verify::run(&options),
    };
    match result {
        Ok(code) => code,
        Err(error) => {
            say::trouble(&format!("error: {error:#}"));
            std::process::ExitCode::FAILURE
        }
    }
}

#[cfg(target_arch = "wasm32")]
fn main() {}
