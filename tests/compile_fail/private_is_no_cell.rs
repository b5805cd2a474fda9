//! A cell of an exported table takes plain text and nothing private.

use daywork::model::Private;
use daywork::model::table::Cell;

fn main() {
    let place = Private::new(String::from("Shed 3, Tarrow Slip"));
    let _ = Cell::Text(place);
}
