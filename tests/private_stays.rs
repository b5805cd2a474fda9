//! What is private cannot be written out: each file of `compile_fail` tries one way, and none may compile.

#[test]
fn private_values_do_not_compile_into_anything_public() {
    let cases = trybuild::TestCases::new();
    cases.compile_fail("tests/compile_fail/*.rs");
}
