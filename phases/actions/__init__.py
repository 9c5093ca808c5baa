"""What people do on a lot: each one transaction, each appending its facts."""
