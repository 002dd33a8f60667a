//! Wrong input to `coldfringe curve` is named and mended, and leaves no file.

use super::hand::refused;

#[test]
fn wrong_input_is_named_and_mended() {
    refused(
        &["curve", "screened-lop"],
        &["screened-lop", "did you mean \"screened-loop\"?"],
    );
    refused(
        &["curve", "single-junction", "--set", "widht=1 um"],
        &["widht", "\"width\""],
    );
    refused(
        &["curve", "single-junction", "--set", "width"],
        &["--set", "NAME=VALUE"],
    );
    refused(
        &[
            "curve",
            "single-junction",
            "--set",
            "width=1 um",
            "--set",
            "width=2 um",
        ],
        &["twice"],
    );
    refused(
        &["curve", "single-junction", "--set", "width=1 uA"],
        &["a current", "a length"],
    );
    refused(
        &["curve", "single-junction", "--set", "width=1"],
        &["no unit"],
    );
    refused(
        &["curve", "single-junction", "--set", "width=1 kum"],
        &["kum"],
    );
    refused(
        &["curve", "single-junction", "--set", "width=9 m"],
        &["out of range", "1.00 mm"],
    );
    refused(
        &["curve", "single-junction", "--set", "width=NaN m"],
        &["not a finite number"],
    );
    refused(
        &["curve", "single-junction", "--set", "width=inf"],
        &["not a finite number"],
    );
    refused(
        &["curve", "single-junction", "--from", "1 mT", "--to", "1 mT"],
        &["--from", "must rise"],
    );
    refused(
        &["curve", "single-junction", "--from", "2 mT", "--to", "1 mT"],
        &["--from", "must rise"],
    );
    refused(
        &["curve", "single-junction", "--from", "nan"],
        &["--from", "not a finite number"],
    );
    refused(
        &["curve", "single-junction", "--from", "1 uA"],
        &["--from", "a current", "a magnetic field"],
    );
    refused(&["curve", "single-junction", "--to", "1e300"], &["too far"]);
    refused(
        &["curve", "single-junction", "--at", "1 mT", "--from", "0"],
        &["--at", "--from"],
    );
    refused(
        &["curve", "single-junction", "--at", "1 mT,,2 mT"],
        &["number 2 of --at"],
    );
    refused(
        &["curve", "single-junction", "--at", ""],
        &["--at", "nothing was written"],
    );
    refused(
        &["curve", "single-junction", "--at", "0; inf T"],
        &["number 2 of --at"],
    );
    for points in [
        "0",
        "1",
        "-5",
        "1000001",
        "99999999999999999999999",
        "2.5",
        "many",
        "",
    ] {
        refused(
            &["curve", "single-junction", "--points", points],
            &["--points"],
        );
    }
    refused(
        &["curve", "single-junction", "--format", "pdf"],
        &["pdf", "csv"],
    );
    refused(
        &["curve", "single-junction", "--at", "0", "--format", "svg"],
        &["two different values"],
    );
    refused(
        &[
            "curve",
            "single-junction",
            "--format",
            "svg",
            "--column",
            "critical",
        ],
        &["--column"],
    );
    refused(
        &[
            "curve",
            "single-junction",
            "--format",
            "svg",
            "--axis",
            "filed",
        ],
        &["--axis", "\"field\""],
    );
    refused(&["curve"], &["SETUP"]);
    refused(
        &["setups", "junction-par"],
        &["did you mean \"junction-pair\"?"],
    );
}
