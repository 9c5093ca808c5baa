"""What a sheet may load: photos named to it beforehand. Nothing else, no network."""

from collections.abc import Mapping

from weasyprint.urls import URLFetcher, URLFetcherResponse

from phases.models import Photo

PHOTO = "own:/photo/"


class OwnFiles(URLFetcher):
    """Answers `own:/photo/<sha256>` for the photos handed in; refuses the rest."""

    def __init__(self, photos: Mapping[str, Photo]) -> None:
        super().__init__(allowed_protocols=("own",), allow_redirects=False)
        self.photos = photos

    def fetch(self, url: str, headers: object = None) -> URLFetcherResponse:
        photo = self.photos.get(url.removeprefix(PHOTO))
        if not url.startswith(PHOTO) or photo is None:
            raise ValueError(f"A sheet may not load {url}")
        with photo.thumb.open("rb") as file:
            body = file.read()
        return URLFetcherResponse(url, body, headers={"Content-Type": "image/jpeg"})
