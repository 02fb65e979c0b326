//! Faults as a person reads them in a terminal: what, where with the line itself, allowed, hint.

use hingeline_bench::{Fault, Faults};

/// All faults of one file.
pub(crate) fn faults(file: &str, text: &str, faults: &Faults) -> String {
    let mut out: String = faults.faults.iter().map(|fault| one(file, text, fault)).collect();
    let count = faults.faults.len();
    if count > 1 {
        out.push_str(&format!("{count} faults in {file}; nothing was written\n"));
    }
    out
}

fn one(file: &str, text: &str, fault: &Fault) -> String {
    let mut out = format!("error: {}\n  at: {file}:{}:{}\n", fault.what, fault.line, fault.column);
    let line = text.lines().nth(fault.line - 1).unwrap_or("");
    if !fault.span.is_empty() && line.chars().count() <= 120 {
        let number = fault.line.to_string();
        let marked =
            text.get(fault.span.clone()).map_or(1, |part| part.lines().next().unwrap_or("").chars().count());
        let before: String =
            line.chars().take(fault.column - 1).map(|c| if c == '\t' { '\t' } else { ' ' }).collect();
        out.push_str(&format!("  {number} | {line}\n"));
        out.push_str(&format!("  {} | {before}{}\n", " ".repeat(number.len()), "^".repeat(marked.max(1))));
    }
    if let Some(allowed) = &fault.allowed {
        out.push_str(&format!("  allowed: {allowed}\n"));
    }
    if let Some(hint) = &fault.hint {
        out.push_str(&format!("hint: {hint}\n"));
    }
    out
}
