"""What of the theme does not travel: files that no page asks for, and indents."""

import pytest
from mkdocs.config import load_config
from mkdocs.structure.files import File, Files

from wristward.site.slim import leave_out_unasked, without_indents

OWN = "assets/notes.map"


@pytest.fixture
def files_of(tmp_path):
    """Return the files of a bare site with these plugins, an author's own among them, once the unasked are out."""

    def left(plugins):
        (tmp_path / "docs" / "assets").mkdir(parents=True, exist_ok=True)
        (tmp_path / "docs" / OWN).write_text("{}", "utf-8")
        text = f"site_name: A site\ntheme: material\nplugins: {plugins}\n"
        (tmp_path / "mkdocs.yml").write_text(text, "utf-8")
        config = load_config(str(tmp_path / "mkdocs.yml"))
        files = Files([File(OWN, config.docs_dir, config.site_dir, use_directory_urls=False)])
        files.add_files_from_theme(config.theme.get_env(), config)
        leave_out_unasked(files, config)
        return {file.src_uri for file in files}

    return left


def test_what_no_page_asks_for_stays_behind(files_of):
    """Source maps and the theme's own search do not travel, its script and style do, and so does what an author put there."""
    left = files_of([])
    kinds = {name.rsplit("/", 1)[0] + "/" + name.rsplit(".", 1)[1] for name in left}

    assert OWN in left
    assert [OWN] == [name for name in left if name.endswith(".map")]
    assert {"assets/javascripts/js", "assets/stylesheets/css"} <= kinds
    assert not {"assets/javascripts/lunr/min/js", "assets/javascripts/workers/js"} & kinds


def test_the_themes_search_is_there_where_asked_for(files_of):
    """A site that names the theme's search among its plugins has what that loads."""
    more = files_of(["search"]) - files_of([])

    assert {"assets/javascripts/lunr", "assets/javascripts/workers"} == {"/".join(name.split("/")[:3]) for name in more}


def test_indents_go_and_words_stay_apart():
    """White space across lines becomes one line end, and none within a line, in a listing, a text field or a script."""
    kept = "<pre>a\n\n  b</pre>", "<textarea>\n  c</textarea>", "<script>`\n\n d`</script>", "<style>\n  e {}</style>"
    html = f"<p>\n  one  two  \n\n   three\t{kept[0]}\n  </p>{kept[1]}\n\n{kept[2]} \n{kept[3]}\n"

    assert f"<p>\none  two\nthree\t{kept[0]}\n</p>{kept[1]}\n{kept[2]}\n{kept[3]}\n" == without_indents(html)
