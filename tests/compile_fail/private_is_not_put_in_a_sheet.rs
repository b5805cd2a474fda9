//! A private value cannot be handed to a sheet's context.

use daywork::model::Private;

fn main() {
    let postcode = Private::new(String::from("ZZ99 1TS"));
    let mut context = tera::Context::new();
    context.insert("postcode", &postcode);
}
