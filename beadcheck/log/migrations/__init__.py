"""Steps from one layout of the database to the next."""
