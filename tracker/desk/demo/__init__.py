"""An invented contractor in an invented town, mid-season, made from one seed."""
