//! From compiled wasm to the two files that a page fetches: the script that binds it to the browser, and the final wasm.

use std::fs;
use std::path::Path;

use wasm_bindgen_cli_support::{Bindgen, Output};

use super::{BundleError, BundleNames, Form, at, digest};

/// Makes the script and the final wasm in an emptied folder.
pub(super) fn bind(
    compiled: &Path,
    shelf: &Path,
    name: &str,
    form: Form,
) -> Result<BundleNames, BundleError> {
    if shelf.exists() {
        fs::remove_dir_all(shelf).map_err(at(shelf))?;
    }
    fs::create_dir_all(shelf).map_err(at(shelf))?;
    let mut bindgen = Bindgen::new();
    bindgen
        .input_path(compiled)
        .out_name(name)
        .typescript(false)
        // Names of functions are a tenth of the file; a panic's message has its place without.
        .remove_name_section(true)
        .remove_producers_section(true);
    let mut output = match form {
        Form::Module => bindgen.web(true),
        Form::Classic => bindgen.no_modules(true),
    }
    .and_then(Bindgen::generate_output)
    .map_err(BundleError::Bind)?;
    let has_scripts = output.snippets().values().any(|list| !list.is_empty());
    if has_scripts || !output.local_modules().is_empty() {
        return Err(BundleError::Snippets);
    }
    let script = shorten(&mut output)?;
    let wasm = output.wasm_mut().emit_wasm();
    let digest = digest(&[script.as_bytes(), &wasm]);
    let names = BundleNames {
        script: format!("{name}-{}.js", &digest[..16]),
        wasm: format!("{name}-{}.wasm", &digest[..16]),
    };
    let script = script.replace(&format!("{name}_bg.wasm"), &names.wasm);
    fs::write(shelf.join(&names.script), script).map_err(at(shelf))?;
    fs::write(shelf.join(&names.wasm), wasm).map_err(at(shelf))?;
    Ok(names)
}

/// The script, in which each function that the wasm asks of it has a short name, as in the wasm then: of the tool's own names,
/// each with a digest, a reader would fetch 6 kB.
fn shorten(output: &mut Output) -> Result<String, BundleError> {
    let mut script = output.js().to_owned();
    for (place, import) in output.wasm_mut().imports.iter_mut().enumerate() {
        let long = format!("{}: ", import.name);
        if script.matches(&long).count() != 1 {
            return Err(BundleError::Unnamed(import.name.clone()));
        }
        import.name = format!("f{place}");
        script = script.replace(&long, &format!("{}: ", import.name));
    }
    Ok(script)
}
