"""One question each: a brief, a script whose main() returns headline numbers, and a few lines of answer."""
