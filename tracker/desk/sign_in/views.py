"""Signing in and out, and the language of the pages."""

from django.conf import settings
from django.contrib.auth import views as auth_views
from django.contrib.auth.forms import AuthenticationForm
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.utils import translation
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST

from tracker.desk.spanish import in_language
from tracker.desk.templatetags.desk import reader_language

LANGUAGES = {code for code, _ in settings.LANGUAGES}


class SignInForm(AuthenticationForm):
    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].label = "Sign-in name"
        self.fields["password"].label = "Password"

    def get_invalid_login_error(self):
        error = super().get_invalid_login_error()
        error.message = in_language(
            "Name and password do not fit. Try again.", reader_language()
        )
        return error


class SignIn(auth_views.LoginView):
    http_method_names = ["get", "head", "post"]
    template_name = "desk/sign_in.html"
    authentication_form = SignInForm
    redirect_authenticated_user = True

    def form_valid(self, form) -> HttpResponse:
        answer = super().form_valid(form)
        _speak(answer, self.request.user.language)
        return answer


def locked_out(
    request: HttpRequest, original: HttpResponse | None = None, credentials=None
) -> HttpResponse:
    """Too many wrong passwords for one name from one address: wait, or ask."""
    seconds = round(settings.AXES_COOLOFF_TIME * 3600)
    answer = render(
        request, "desk/locked_out.html", {"minutes": seconds // 60}, status=429
    )
    answer["Retry-After"] = str(seconds)
    return answer


sign_in = SignIn.as_view()
sign_out = auth_views.LogoutView.as_view()


@require_POST
def language(request: HttpRequest) -> HttpResponse:
    """Speak this language from now on; a member's choice is kept with him."""
    chosen = request.POST.get("language", "")
    back = request.POST.get("next", "")
    if not url_has_allowed_host_and_scheme(back, {request.get_host()}):
        back = "/"
    answer = HttpResponseRedirect(back)
    if chosen in LANGUAGES:
        _speak(answer, chosen)
        if request.user.is_authenticated and request.user.language != chosen:
            request.user.language = chosen
            request.user.save(update_fields=["language"])
    return answer


def _speak(answer: HttpResponse, code: str) -> None:
    translation.activate(code)
    answer.set_cookie(
        settings.LANGUAGE_COOKIE_NAME,
        code,
        max_age=365 * 24 * 3600,
        samesite="Lax",
        secure=settings.SESSION_COOKIE_SECURE,
    )
